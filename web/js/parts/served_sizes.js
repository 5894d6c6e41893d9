/** The sizes that a point serves, as they stand now. */
import { statusBadge } from '../drawing/status_shape.js';
import { sizeWords } from '../drawing/words.js';
import { marksOf } from '../geometry/sizes.js';
import { el } from '../page/dom.js';

/**
 * @param {import('../state/job_facts.js').WallState} state
 * @param {string} point
 */
export function servedSizes(state, point) {
  const sizes = state.facts.dimensions.filter((size) => marksOf(size).includes(point));
  const known = sizes
    .map((size) => sizeWords(state.facts, state.report, size.name))
    .filter((words) => words.photo || words.hidden);
  if (known.length === 0) return el('p', { class: 'quiet-text' }, 'No size from this point yet.');
  return el(
    'ul',
    { class: 'served' },
    ...known.map((words) =>
      el(
        'li',
        {},
        el('b', {}, words.name),
        words.hidden ? ' hidden till it is taped ' : ` ${words.photo} in `,
        statusBadge(words.status),
      ),
    ),
  );
}
