/** Readings that are not kept yet for want of a connection, each to be kept, or left out, by a touch. */
import { wallWords } from '../drawing/words.js';
import { button, el } from '../page/dom.js';
import { dropUnsent, unsentOf } from '../state/unsent.js';

/**
 * @param {import('../state/job_facts.js').JobFacts} facts
 * @param {(wall: string, size: string) => void} openSize
 * @param {() => void} changed
 * @param {AbortSignal} signal
 * @returns {HTMLElement | null} nothing where all are kept
 */
export function unsentReadings(facts, openSize, changed, signal) {
  const rows = facts.inOrder().flatMap(({ facts: wall }) =>
    unsentOf(wall.id).map(([size, { value, unit }]) => {
      const words = `${size}, ${wallWords(wall)} wall: ${value}${unit === 'in' ? '' : ` ${unit}`}`;
      const leave = () => {
        dropUnsent(wall.id, size);
        changed();
      };
      return el(
        'li',
        {},
        el('b', {}, words),
        button('Keep it now', () => openSize(wall.id, size), signal, { 'aria-label': `Keep it now: ${words}` }),
        button('Leave it out', leave, signal, { class: 'quiet', 'aria-label': `Leave it out: ${words}` }),
      );
    }),
  );
  if (rows.length === 0) return null;
  return el(
    'section',
    { class: 'caution unsent', 'aria-label': 'Readings that are not kept yet' },
    el('p', {}, 'Typed without a connection and not kept yet:'),
    el('ul', {}, ...rows),
  );
}
