/**
 * One panel over its wall: outline, pattern joints, seam, openings, holes; seen from the front or, as its
 * mirror image, from behind.
 */
import { boxAround } from '../geometry/boxes.js';
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../geometry/panel_frame.js').PanelPlace} PanelPlace */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */
/** @typedef {(x: number, y: number) => Point} At from the panel's frame to the screen */

const CROSS_MM = 45;
const NAMED_WITHIN_PX = 130;

/**
 * @param {any} panel a row of panels.json
 * @param {PanelPlace} place
 * @param {Placing} placing
 * @param {string} id unique on the page
 */
export function panelShape(panel, place, placing, id) {
  const at = (/** @type {number} */ x, /** @type {number} */ y) => toScreen(placing, place.toWall({ x, y }));
  const outline = pixels(panel.outline_mm.map((/** @type {[number, number]} */ [x, y]) => at(x, y)));
  const clip = svg('clipPath', { id }, svg('polygon', { points: outline }));
  return svg(
    'g',
    { class: panel.released ? 'panel released' : 'panel' },
    clip,
    svg('polygon', { points: outline, class: 'panel-face' }),
    panel.pattern ? svg('g', { class: 'joints', 'clip-path': `url(#${id})` }, ...joints(panel, at)) : null,
    ...(panel.windows ?? []).map((/** @type {any} */ window) => opening(window, panel, at)),
    ...(panel.seams ?? []).map((/** @type {any} */ one) => seam(one, panel.outline_mm, at)),
    ...(panel.notches ?? []).map((/** @type {any} */ notch) => notchName(notch, at)),
    svg('polygon', { points: outline, class: 'panel-edge' }),
    ...panel.cutouts.map((/** @type {any} */ hole) => cutout(hole, at, placing.scale)),
  );
}

/** Every joint as a line; in half offset each second course has upright joints of its own. */
function joints(/** @type {any} */ { pattern, outline_mm: outline }, /** @type {At} */ at) {
  const xs = outline.map((/** @type {number[]} */ point) => point[0]);
  const ys = outline.map((/** @type {number[]} */ point) => point[1]);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  /** @type {number[]} */
  const heights = pattern.joint_heights_mm;
  const lines = heights.map((y) => line(at(left, y), at(right, y)));
  const others = pattern.other_columns_mm ?? [];
  const edges = others.length ? [top, ...heights, bottom] : [top, bottom];
  for (let course = 0; course + 1 < edges.length; course += 1) {
    const columns = course % 2 && others.length ? others : pattern.column_joints_mm;
    for (const x of columns) lines.push(line(at(x, edges[course]), at(x, edges[course + 1])));
  }
  return lines;
}

/** What the panel is cut round, named where it stands. @param {any} notch @param {At} at */
function notchName(notch, at) {
  const [x, y] = notch.corner_mm;
  const middle = at(x + notch.width.mm / 2, y + notch.height.mm / 2);
  const words = notch.name === notch.kind ? notch.name : `${notch.kind} ${notch.name}`;
  return svg('text', { ...middle, class: 'notch-name', 'text-anchor': 'middle' }, words);
}

/** Where the panel is made of two sheets. @param {any} found @param {[number, number][]} outline @param {At} at */
function seam(found, outline, at) {
  const upright = found.direction === 'upright';
  const along = outline.map((/** @type {number[]} */ point) => point[upright ? 1 : 0]);
  const ends = [Math.min(...along), Math.max(...along)];
  const [a, b] = ends.map((end) => (upright ? at(found.at.mm, end) : at(end, found.at.mm)));
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  return svg(
    'g',
    { class: 'seam' },
    line(a, b),
    svg('text', { x: middle.x + 4, y: middle.y - 4 }, `seam behind a ${found.behind}`),
  );
}

/** A window, niche or box: an opening of its own size. @param {any} window @param {any} panel @param {At} at */
function opening(window, panel, at) {
  const [x, y] = window.corner_mm;
  const [right, low] = [x + window.width.mm, y + window.height.mm];
  const corners = [at(x, y), at(right, y), at(right, low), at(x, low)];
  const box = /** @type {import('../types.js').Box} */ (boxAround(corners));
  const over = /** @type {import('../types.js').Box} */ (
    boxAround(panel.outline_mm.map((/** @type {[number, number]} */ [px, py]) => at(px, py)))
  );
  // Over a small opening, and towards the panel's middle, the words stay clear of it and on the panel.
  const small = box.right - box.left < NAMED_WITHIN_PX;
  const leftwards = box.left + box.right > over.left + over.right;
  const words = { x: leftwards && small ? box.right : box.left + 4, y: box.bottom + (small ? -5 : 16) };
  return svg(
    'g',
    { class: 'opening' },
    svg('polygon', { points: pixels(corners) }),
    line(corners[0], corners[2]),
    line(corners[1], corners[3]),
    svg(
      'text',
      { ...words, 'text-anchor': leftwards && small ? 'end' : 'start' },
      `${window.name} ${window.width.text} × ${window.height.text}`,
    ),
  );
}

/** @param {any} hole @param {At} at @param {number} scale */
function cutout(hole, at, scale) {
  const { x, y } = at(hole.at_mm[0], hole.at_mm[1]);
  const arm = CROSS_MM * scale + (hole.diameter_mm / 2) * scale;
  return svg(
    'g',
    { class: 'hole', transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` },
    svg('circle', { r: ((hole.diameter_mm / 2) * scale).toFixed(1) }),
    svg('path', { d: `M${-arm} 0 H${arm} M0 ${-arm} V${arm}`, class: 'axes' }),
    svg('text', { x: arm + 3, y: -3 }, `${hole.name} ø ${hole.diameter}`),
  );
}

/** @param {Point} a @param {Point} b */
const line = (a, b) => svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y });

/** @param {Point[]} points */
const pixels = (points) => points.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
