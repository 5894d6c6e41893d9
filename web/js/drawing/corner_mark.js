/** How well two walls agree on the height of the corner that they share. */
import { sizeText } from '../geometry/lengths.js';
import { svg } from '../page/dom.js';
import { statusShape } from './status_shape.js';

/**
 * @param {import('../types.js').Closure} closure
 * @param {number} x px
 * @param {number} y px, of the deck
 */
export function cornerMark(closure, x, y) {
  const closes = closure.closes === true;
  const out = sizeText(Math.abs(closure.out_mm ?? 0));
  const said = closes ? 'the walls agree on this corner' : `the walls are ${out} in apart on this corner`;
  const mark = svg('g', { class: `corner ${closes ? 'agrees' : 'conflicts'}`, role: 'img', 'aria-label': said });
  mark.append(statusShape(closes ? 'agrees' : 'conflicts', x, y, 8));
  if (!closes) mark.append(svg('text', { x, y: y + 24, 'text-anchor': 'middle', class: 'value' }, `${out} apart`));
  return mark;
}
