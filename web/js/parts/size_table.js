/** The same facts as on the drawing, as a table: one row a size. */
import { asksForLook, statusBadge } from '../drawing/status_shape.js';
import { sizeWords, standingReadings, wallWords } from '../drawing/words.js';
import { button, el } from '../page/dom.js';
import { readingList } from '../readings/reading_list.js';
import { figureList, odd } from '../readings/verdict.js';
import { unsent } from '../state/unsent.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

/**
 * @param {WallState} state
 * @param {(size: string) => void} open the reading pad
 * @param {AbortSignal} signal
 */
export function sizeTable(state, open, signal) {
  const { facts, report } = state;
  const rows = facts.dimensions.flatMap((size) => {
    const fold = figuresRow(state, size.name, signal);
    return [row(state, size.name, open, signal, fold?.opener ?? null), fold?.row, repeats(state, size.name)];
  });
  return el(
    'div',
    {
      class: 'table-scroll',
      role: 'region',
      'aria-label': `Sizes of the ${wallWords(facts)} wall`,
      tabindex: 0,
    },
    el(
      'table',
      { class: 'sizes' },
      el(
        'caption',
        {},
        `${facts.dimensions.length} sizes, inches. ${report ? '' : 'Nothing is measured yet.'}`,
      ),
      el(
        'thead',
        {},
        el(
          'tr',
          {},
          ...['Size', 'Tape, photo', 'How it stands'].map((word) => el('th', { scope: 'col' }, word)),
        ),
      ),
      el('tbody', {}, ...rows),
    ),
  );
}

/**
 * @param {WallState} state
 * @param {string} name
 * @param {(size: string) => void} open
 * @param {AbortSignal} signal
 * @param {HTMLElement | null} opener of its figures
 */
function row(state, name, open, signal, opener) {
  const words = sizeWords(state.facts, state.report, name);
  const waiting = unsent(state.facts.id, name);
  const { report } = state;
  const blocked = report?.gate.blocking.find((other) => other.dimension === name);
  const said = report?.dimensions.find((size) => size.name === name);
  const suspect = said?.status === 'agrees' ? odd(said).trim() : said?.suspect?.text;
  const why = suspect || (blocked && blocked.why !== 'not taped' ? blocked.why : '');
  return el(
    'tr',
    { class: said && report && asksForLook(said, report.gate) ? 'needs-look' : null },
    el(
      'th',
      { scope: 'row' },
      button(name, () => open(name), signal, { class: 'size-button', 'data-size': name }),
    ),
    el(
      'td',
      { class: 'number' },
      words.tape ? el('b', {}, words.tape) : el('span', { class: 'quiet-text' }, 'to tape'),
      waiting ? el('div', { class: 'why' }, el('b', {}, waiting.value), ' not kept yet') : null,
      photoLine(state.facts, words),
    ),
    el(
      'td',
      {},
      words.status === 'none' ? el('span', { class: 'quiet-text' }, 'to tape') : statusBadge(words.status),
      why ? el('p', { class: 'why' }, why) : null,
      opener ? el('div', {}, opener) : null,
    ),
  );
}

/**
 * What the photos say; nothing where there are none.
 * @param {import('../types.js').WallFacts} facts
 * @param {import('../drawing/size_line.js').SizeWords} words
 */
function photoLine({ photos }, { photo, hidden }) {
  if (photos.length === 0) return null;
  return el('div', { class: 'quiet-text' }, photo || (hidden ? 'photo size hidden' : 'no photo size yet'));
}

/**
 * The figures of a size in a row of their own, as wide as the table, and what opens it.
 * @param {WallState} state
 * @param {string} name
 * @param {AbortSignal} signal
 */
function figuresRow({ facts, report }, name, signal) {
  const said = report?.dimensions.find((size) => size.name === name);
  if (!said || sizeWords(facts, report, name).hidden || !isKnown(said)) return null;
  const id = `figures-${facts.id}-${facts.dimensions.findIndex((size) => size.name === name)}`;
  const place = el('tr', { id, class: 'figures', hidden: true }, el('td', { colspan: 3 }, figureList(said, report)));
  const turn = () => {
    place.hidden = !place.hidden;
    opener.setAttribute('aria-expanded', String(!place.hidden));
  };
  const opener = button('Figures', turn, signal, {
    class: 'quiet opener',
    'aria-expanded': 'false',
    'aria-controls': id,
    'aria-label': `Figures of ${name}`,
  });
  return { row: place, opener };
}

/** Whether there is any figure of a size. @param {import('../types.js').SizeReport} size */
const isKnown = ({ photo_mm, tape_mm, expected_mm }) => [photo_mm, tape_mm, expected_mm].some((mm) => mm !== null);

/** Several readings of one size, and which of them agree. @param {WallState} state @param {string} name */
function repeats({ facts, report }, name) {
  if (standingReadings(facts, name).length < 2) return null;
  return el('tr', { class: 'repeats' }, el('td', { colspan: 3 }, readingList(facts, report, name)));
}
