/** The wall itself: its face, its corners and deck, the level line and the plumb line. */
import { boxAround, hull } from '../geometry/boxes.js';
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';
import { NAME_UP, wallFace } from './wall_face.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */

const PAST_MM = 40;
const LINES = new Set(['level', 'plumb']);

/**
 * @param {WallFacts} wall
 * @param {import('../geometry/wall_points.js').WallPoints} shape
 * @param {Placing} placing
 * @param {boolean} [named] whether the level line and the plumb line carry their names
 * @param {import('./wall_face.js').Planned} [planned] what the plan says of its face
 * @returns {SVGGElement}
 */
export function wallLines(wall, { points, outline, zero, ends }, placing, named = true, planned = undefined) {
  const group = svg('g', { class: 'wall-lines', 'aria-hidden': 'true' });
  const shown = [...points.values(), ...outline];
  const face = hull(shown);
  const box = boxAround(shown);
  if (face.length > 2) group.append(svg('polygon', { points: pixels(face, placing), class: 'face' }));
  if (box && planned) group.append(...wallFace(planned, box, zero, placing, named));
  for (const [family, members] of families(points)) {
    if (LINES.has(family) || members.length < 2) continue;
    group.append(svg('polyline', { points: pixels(members, placing), class: `edge ${family}` }));
  }
  // Where nobody named a line, sizes were still taken from it.
  const taken = ends.size > 0;
  if (box && (wall.level || taken)) group.append(...levelLine(zero.y, box, placing));
  if (box && (wall.plumb || taken)) group.append(...plumbLine(zero.x, box, placing));
  if (!named) for (const name of group.querySelectorAll('.line-name')) name.remove();
  return group;
}

/**
 * Points whose names share their first word, in order along the line they make.
 * @param {Map<string, Point>} points
 * @returns {Map<string, Point[]>}
 */
function families(points) {
  /** @type {Map<string, Point[]>} */
  const found = new Map();
  for (const [name, point] of points) {
    const family = name.split(/\s+/u)[0];
    found.set(family, [...(found.get(family) ?? []), point]);
  }
  for (const members of found.values()) {
    const box = boxAround(members);
    const upright = box && box.top - box.bottom > box.right - box.left;
    members.sort((a, b) => (upright ? b.y - a.y : a.x - b.x));
  }
  return found;
}

/**
 * @param {number} y mm
 * @param {import('../types.js').Box} box
 * @param {Placing} placing
 */
function levelLine(y, box, placing) {
  const a = toScreen(placing, { x: box.left - PAST_MM, y });
  const b = toScreen(placing, { x: box.right + PAST_MM, y });
  return [
    svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: 'centre-line' }),
    svg('text', { x: b.x, y: a.y - NAME_UP, class: 'line-name', 'text-anchor': 'end' }, 'level line'),
  ];
}

/**
 * @param {number} x mm
 * @param {import('../types.js').Box} box
 * @param {Placing} placing
 */
function plumbLine(x, box, placing) {
  const a = toScreen(placing, { x, y: box.top + PAST_MM });
  const b = toScreen(placing, { x, y: box.bottom });
  return [
    svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: 'centre-line' }),
    svg(
      'text',
      { x: a.x, y: a.y - NAME_UP + PAST_MM * placing.scale, class: 'line-name', 'text-anchor': 'middle' },
      'plumb',
    ),
  ];
}

/** @param {Point[]} points @param {Placing} placing */
function pixels(points, placing) {
  return points
    .map((point) => toScreen(placing, point))
    .map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`)
    .join(' ');
}
