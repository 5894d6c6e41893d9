/** A dimension line that only tells a figure, in the manner of ISO 129-1. */
import { length, middle, minus, plus, times, unit } from '../geometry/vectors.js';
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */

const LONG = 8;
const WIDE = 2.6;
const PAST = 6;

/**
 * @param {Point} a px
 * @param {Point} b px
 * @param {number} aside px to the left of a→b as seen on the screen
 * @param {string} text
 */
export function plainDimension(a, b, aside, text) {
  const along = unit(minus(b, a));
  const side = { x: along.y, y: -along.x };
  const [from, to] = [plus(a, times(side, aside)), plus(b, times(side, aside))];
  const centre = middle(from, to);
  let turn = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  if (turn > 89.5) turn -= 180;
  if (turn <= -90.5) turn += 180;
  return svg(
    'g',
    { class: 'plain-dimension' },
    ...[
      [a, from],
      [b, to],
    ].map(([end, there]) => {
      const stop = plus(there, times(side, Math.sign(aside) * PAST));
      return svg('line', { x1: end.x, y1: end.y, x2: stop.x, y2: stop.y, class: 'extension' });
    }),
    svg('line', { x1: from.x, y1: from.y, x2: to.x, y2: to.y }),
    arrowhead(from, to),
    arrowhead(to, from),
    svg(
      'text',
      {
        transform: `translate(${centre.x.toFixed(1)} ${centre.y.toFixed(1)}) rotate(${turn.toFixed(1)})`,
        y: -5,
        'text-anchor': 'middle',
      },
      text,
    ),
  );
}

/**
 * A filled arrowhead whose tip is at the first point.
 * @param {Point} tip
 * @param {Point} tail
 */
export function arrowhead(tip, tail) {
  const step = minus(tail, tip);
  const along = length(step) > 0 ? unit(step) : { x: 1, y: 0 };
  const across = { x: -along.y, y: along.x };
  const back = plus(tip, times(along, LONG));
  const corners = [tip, plus(back, times(across, WIDE)), plus(back, times(across, -WIDE))];
  return svg('polygon', { points: corners.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ') });
}
