/** A small map of the three walls: which one is looked at, and how each stands. */
import { asksForLook, statusShape } from '../drawing/status_shape.js';
import { wallWords } from '../drawing/words.js';
import { button, el, svg } from '../page/dom.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

const WIDE = { back: 46, end: 26 };
const TALL = 34;

/**
 * @param {WallState[]} walls left to right
 * @param {string} chosen id of a wall, or `all`
 * @param {(id: string) => void} choose
 * @param {AbortSignal} signal
 */
export function wallMap(walls, chosen, choose, signal) {
  const all = button('All three', () => choose('all'), signal, {
    class: 'map-all',
    'aria-pressed': String(chosen === 'all'),
  });
  return el(
    'div',
    { class: 'wall-map', role: 'group', 'aria-label': 'Which wall is shown' },
    ...walls.map((state) => wallButton(state, chosen, choose, signal)),
    all,
  );
}

/**
 * @param {WallState} state
 * @param {string} chosen
 * @param {(id: string) => void} choose
 * @param {AbortSignal} signal
 */
function wallButton(state, chosen, choose, signal) {
  const { id, name } = state.facts;
  const wide = name === 'back' ? WIDE.back : WIDE.end;
  const picture = svg('svg', {
    width: wide,
    height: TALL,
    viewBox: `0 0 ${wide} ${TALL}`,
    'aria-hidden': 'true',
    focusable: 'false',
  });
  picture.append(
    svg('rect', { x: 1, y: 1, width: wide - 2, height: TALL - 2, class: 'map-face' }),
    statusShape(standing(state), wide / 2, TALL / 2, 8),
  );
  return button([picture, el('span', {}, wallWords(state.facts))], () => choose(id), signal, {
    'aria-pressed': String(chosen === id),
  });
}

/** Whether something on a wall does not fit. @param {WallState} state */
export const needsLook = ({ report }) => looks(report).length > 0;

/** @param {import('../types.js').Report | null} report */
const looks = (report) => report?.dimensions.filter((size) => asksForLook(size, report.gate)) ?? [];

/** The worst of a wall, as a status. @param {WallState} state */
function standing(state) {
  if (looks(state.report).some(({ status }) => status === 'conflicts')) return 'conflicts';
  if (needsLook(state)) return 'unsure';
  if (state.report?.gate.open) return 'open';
  return state.report ? 'shut' : 'none';
}
