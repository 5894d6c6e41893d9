/** What may be marked in the photo, lettered: lines, corners, round fittings. */
import { svg } from '../page/dom.js';
import { moveTo } from './overlay.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */
/** @typedef {import('../state/suggestions.js').Open} Open */

/**
 * @param {Open[]} suggestions
 * @returns {import('./overlay.js').Layer}
 */
export function suggestedLayer(suggestions) {
  const shapes = suggestions.map((one) => (one.at.length > 1 ? line(one) : spot(one)));
  return {
    drawn: shapes.flatMap(({ drawn }) => drawn),
    place: (/** @type {PhotoViewer} */ viewer) => {
      for (const shape of shapes) shape.place(viewer);
    },
  };
}

/** @param {Open} one */
function spot({ letter, kind, at: [at] }) {
  const round = kind === 'round fitting';
  const shape = round ? svg('circle', { r: 14 }) : svg('rect', { x: -11, y: -11, width: 22, height: 22 });
  const drawn = svg('g', { class: 'suggested' }, shape, svg('text', { x: 15, y: 18 }, letter));
  return { drawn: [drawn], place: (/** @type {PhotoViewer} */ viewer) => moveTo(drawn, viewer.toScreen(pointOf(at))) };
}

/** @param {Open} one */
function line({ letter, at }) {
  const [path, text] = [svg('line', { class: 'suggested-line' }), svg('text', { class: 'suggested-name' }, letter)];
  const place = (/** @type {PhotoViewer} */ viewer) => {
    const [a, b] = at.map((end) => viewer.toScreen(pointOf(end)));
    for (const [name, value] of Object.entries({ x1: a.x, y1: a.y, x2: b.x, y2: b.y }))
      path.setAttribute(name, value.toFixed(1));
    text.setAttribute('x', ((a.x + b.x) / 2 + 8).toFixed(1));
    text.setAttribute('y', ((a.y + b.y) / 2 - 8).toFixed(1));
  };
  return { drawn: [path, text], place };
}

/** @param {import('../types.js').Pair} pair @returns {Point} */
const pointOf = ([x, y]) => ({ x, y });
