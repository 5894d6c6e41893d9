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
      el('span', {}, el('b', {}, reading.value), ` ${howTaken(reading)}`),
      status ? statusBadge(status) : null,
      beside(reading),
    );
  });
  return el('ul', { class: 'reading-list' }, ...items);
}

/** @param {import('../types.js').ReadingFacts} reading */
export function howTaken(reading) {
  const method = reading.instrument?.method ?? 'hook to mark';
  const surface = reading.surface ? `, to the ${surfaceWords(reading.surface)}` : '';
  return `${reading.who || 'someone'}, ${METHOD_WORDS[method] ?? method}${surface}`;
}

/** @param {string} surface */
export const surfaceWords = (surface) =>
  ({ tile: 'tile', bare: 'bare wall', hung: 'hung sheet' })[surface] ?? surface;
