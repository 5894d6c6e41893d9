/** What the plan says of a wall's face: the finished top, and which parts of it are tile or bare. */
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Face} Face */
/** @typedef {import('../types.js').Box} Box */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */

const PAST_MM = 40;
const DOES = Object.freeze({ keep: 'kept', strip: 'stripped', pack: 'packed out' });

/**
 * Regions, each from edge to edge, with what is done to it; and the line of the finished top.
 * @param {Face} face
 * @param {Box} box of the wall's own points
 * @param {number} levelY of the level line, mm
 * @param {Placing} placing
 * @param {boolean} named
 * @returns {SVGElement[]}
 */
export function wallFace(face, box, levelY, placing, named) {
  const regions = face.regions.flatMap((region) => {
    const to = region.to_down_mm ?? levelY - box.bottom;
    const a = toScreen(placing, { x: box.left, y: levelY - region.from_down_mm });
    const b = toScreen(placing, { x: box.right, y: levelY - to });
    const shape = svg('rect', {
      x: a.x,
      y: a.y,
      width: b.x - a.x,
      height: Math.max(b.y - a.y, 0),
      class: `region ${region.do}`,
    });
    const words = `${region.proud === '0' ? 'bare' : `${region.proud} proud`}: ${DOES[region.do]}`;
    const name = svg('text', { x: a.x + 6, y: (a.y + b.y) / 2, class: 'line-name' }, words);
    return named ? [shape, name] : [shape];
  });
  return [...regions, ...(face.top_mm === null ? [] : topLine(face.top_mm + levelY, box, placing, named))];
}

/** @param {number} y mm @param {Box} box @param {Placing} placing @param {boolean} named */
function topLine(y, box, placing, named) {
  const a = toScreen(placing, { x: box.left - PAST_MM, y });
  const b = toScreen(placing, { x: box.right + PAST_MM, y });
  const line = svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: 'top-line' });
  const name = svg('text', { x: a.x, y: a.y - 6, class: 'line-name' }, 'finished top');
  return named ? [line, name] : [line];
}
