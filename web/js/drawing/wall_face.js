/** What the plan says of a wall's face: the finished top, and which parts of it are tile or bare. */
import { along, clearPlace } from '../geometry/clear_place.js';
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Face} Face */
/** @typedef {import('../types.js').Box} Box */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */
/** @typedef {import('../geometry/clear_place.js').Patch} Patch */
/** @typedef {{face: Face, taken: Patch[]}} Planned a face, and what is written over it, px */

/** How far the names of the level line and the plumb line stand over the wall, px. */
export const NAME_UP = 26;
const PAST_MM = 40;
/** Of a region's name, px: a letter's width, the height of a line, what of it is under the letters. */
const LETTER = 6.6;
const HIGH = 15;
const FOOT = 3;
const ASIDE = 6;
/** Of the room for words before their first letter. */
const LEAD = 3;
/** Of what is free under the walls, before their names. */
const UNDER = 80;
const TOP = 'finished top';
const DOES = Object.freeze({ keep: 'kept', strip: 'stripped', pack: 'packed out' });

/**
 * Regions, each from edge to edge, with what is done to it; and the line of the finished top.
 * @param {Planned} planned
 * @param {Box} box of the wall's own points
 * @param {import('../types.js').Point} zero where level line and plumb line cross, mm
 * @param {Placing} placing
 * @param {boolean} named
 * @returns {SVGElement[]}
 */
export function wallFace({ face, taken }, box, { x: plumbX, y: levelY }, placing, named) {
  const level = (/** @type {number} */ x) => toScreen(placing, { x, y: levelY });
  const there = [...taken, ...along(level(box.left), level(box.right), 1)];
  const regions = face.regions.flatMap((region) => {
    const to = region.to_down_mm ?? levelY - box.bottom;
    const a = toScreen(placing, { x: box.left, y: levelY - region.from_down_mm });
    const b = toScreen(placing, { x: box.right, y: levelY - to });
    const patch = { left: a.x, top: a.y, right: b.x, bottom: Math.max(b.y, a.y) };
    const shape = svg('rect', {
      x: patch.left,
      y: patch.top,
      width: patch.right - patch.left,
      height: patch.bottom - patch.top,
      class: `region ${region.do}`,
    });
    if (!named) return [shape];
    const words = `${region.proud === '0' ? 'bare' : `${region.proud} proud`}: ${DOES[region.do]}`;
    const size = { wide: words.length * LETTER, high: HIGH };
    const place = clearPlace([inside(patch), ...below(region, patch)], size, there);
    there.push(place);
    return [shape, svg('text', { x: place.left + LEAD, y: place.bottom - FOOT, class: 'line-name' }, words)];
  });
  there.push(...lineNames(box, plumbX, levelY, placing));
  const top = face.top_mm === null ? [] : topLine(face.top_mm + levelY, box, placing, named, there);
  return [...regions, ...top];
}

/** What the names of the plumb line and the level line take up over the wall. @returns {Patch[]} */
function lineNames(
  /** @type {Box} */ box,
  /** @type {number} */ plumbX,
  /** @type {number} */ levelY,
  /** @type {Placing} */ placing,
) {
  const plumb = toScreen(placing, { x: plumbX, y: box.top });
  const level = toScreen(placing, { x: box.right + PAST_MM, y: levelY });
  const row = (/** @type {number} */ y) => ({ top: y - NAME_UP - HIGH + FOOT, bottom: y - NAME_UP + FOOT });
  const half = ('plumb'.length * LETTER) / 2;
  return [
    { left: plumb.x - half, right: plumb.x + half, ...row(plumb.y) },
    { left: level.x - 'level line'.length * LETTER, right: level.x, ...row(level.y) },
  ];
}

/**
 * Under the deck there is room for the name of the lowest band.
 * @param {Face['regions'][number]} region
 * @param {Patch} patch
 * @returns {Patch[]}
 */
function below({ to_down_mm }, { left, right, bottom }) {
  if (to_down_mm !== null) return [];
  return [{ left: left + ASIDE, right: right - ASIDE, top: bottom + 4, bottom: bottom + UNDER }];
}

/** @param {Patch} patch @returns {Patch} */
const inside = ({ left, top, right, bottom }) => ({
  left: left + ASIDE,
  top: top + 2,
  right: right - ASIDE,
  bottom: bottom - 2,
});

/**
 * The line of the finished top, its name over it where no figure stands, else over the figures.
 * @param {number} y mm
 * @param {Box} box
 * @param {Placing} placing
 * @param {boolean} named
 * @param {Patch[]} there
 */
function topLine(y, box, placing, named, there) {
  const a = toScreen(placing, { x: box.left - PAST_MM, y });
  const b = toScreen(placing, { x: box.right + PAST_MM, y });
  const line = svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: 'top-line' });
  if (!named) return [line];
  const room = { left: a.x, right: b.x, top: a.y - 3 - HIGH, bottom: a.y - 3 };
  const over = { ...room, top: room.top - HIGH, bottom: room.top };
  const place = clearPlace([room, over], { wide: TOP.length * LETTER, high: HIGH }, there);
  return [line, svg('text', { x: place.left, y: place.bottom - FOOT, class: 'line-name' }, TOP)];
}
