/** The readings of one size, by whom and how each was taken, and which of them agree. */
import { statusBadge } from '../drawing/status_shape.js';
import { standingReadings } from '../drawing/words.js';
import { el } from '../page/dom.js';
import { METHODS } from './choices.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */

const METHOD_WORDS = Object.fromEntries(METHODS);

/**
 * One line a reading: value, who, how, and how it stands against all else.
 * @param {WallFacts} wall
 * @param {Report | null} report
 * @param {string} name of the size
 * @param {(reading: import('../types.js').ReadingFacts) => Node | null} [beside]
 */
export function readingList(wall, report, name, beside = () => null) {
  const stands = new Map((report?.readings ?? []).map((reading) => [reading.id, reading.status]));
  const items = standingReadings(wall, name).map((reading) => {
    const status = stands.get(reading.id);
    return el(
      'li',
      {},
      el('span', {}, el('b', {}, reading.value), ` ${howTaken(reading)}`, before(wall, reading)),
      status ? statusBadge(status) : null,
      beside(reading),
    );
  });
  return el('ul', { class: 'reading-list' }, ...items);
}

/** By whom, how, to what and when. @param {import('../types.js').ReadingFacts} reading */
export function howTaken(reading) {
  const { instrument, surface, at } = reading;
  const method = instrument?.method ?? 'hook to mark';
  const when = at ? new Date(at).toLocaleString(undefined, { dateStyle: 'short', timeStyle: 'short' }) : '';
  const told = [
    reading.who || 'someone',
    METHOD_WORDS[method] ?? method,
    instrument?.id,
    surface && `to the ${surfaceWords(surface)}`,
    when,
  ];
  return told.filter(Boolean).join(', ');
}

/**
 * What it took the place of, which is never lost.
 * @param {WallFacts} wall
 * @param {import('../types.js').ReadingFacts} reading
 */
function before(wall, reading) {
  const old = wall.readings.find(({ id }) => id === reading.replaces);
  return old ? el('span', { class: 'quiet-text' }, ` in place of ${old.value} by ${old.who || 'someone'}`) : null;
}

/** @param {string} surface */
export const surfaceWords = (surface) =>
  ({ tile: 'tile', bare: 'bare wall', hung: 'hung sheet' })[surface] ?? surface;
