/**
 * One panel over its wall: outline, pattern joints, holes, overall size; seen from the front or, as its
 * mirror image, from behind.
 */
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../geometry/panel_frame.js').PanelPlace} PanelPlace */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */

const CROSS_MM = 45;

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
    svg('polygon', { points: outline, class: 'panel-edge' }),
    ...panel.cutouts.map((/** @type {any} */ hole) => cutout(hole, at, placing.scale)),
  );
}

/** @param {any} panel @param {(x: number, y: number) => Point} at */
function joints({ pattern, outline_mm: outline }, at) {
  const xs = outline.map((/** @type {number[]} */ point) => point[0]);
  const ys = outline.map((/** @type {number[]} */ point) => point[1]);
  const level = pattern.joint_heights_mm.map((/** @type {number} */ y) => [
    at(Math.min(...xs), y),
    at(Math.max(...xs), y),
  ]);
  const upright = pattern.column_joints_mm.map((/** @type {number} */ x) => [
    at(x, Math.min(...ys)),
    at(x, Math.max(...ys)),
  ]);
  return [...level, ...upright].map(([a, b]) => svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y }));
}

/** @param {any} hole @param {(x: number, y: number) => Point} at @param {number} scale */
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

/** @param {Point[]} points */
const pixels = (points) => points.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
