/**
 * The wall's sizes and points as they were measured, where the photo shows them: sizes with their own
 * photo interval, points with the ellipse that they lie in with 95 % chance.
 */
import { ellipse95 } from '../geometry/ellipse.js';
import { svg } from '../page/dom.js';
import { keptInside, moveTo } from './overlay.js';

/** @typedef {import('../types.js').PhotoPlace} PhotoPlace */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

/** On a small photo an ellipse hides under its mark, so it is drawn so many times as large. */
export const ENLARGED = 10;
const ENLARGED_BELOW = 0.5;
/** Where along their lines sizes are written, so that lines side by side do not hide each other's words. */
const SHARES = [0.5, 0.34, 0.66, 0.2, 0.8, 0.42, 0.58, 0.27, 0.73];
const SHORT_PX = 150;
const ABOVE_PX = 5;
const BELOW_PX = 30;

/** @param {number} scale screen px for each image px */
export const ellipsesTimes = (scale) => (scale < ENLARGED_BELOW ? ENLARGED : 1);

/**
 * @param {PhotoPlace} place
 * @param {Map<string, string>} said what to write at a size, by name; the others are drawn alone
 * @param {string} current name of the point in hand
 * @param {Set<string>} set points that are set in this photo
 * @returns {import('./overlay.js').Layer}
 */
export function measuredLayer(place, said, current, set) {
  const written = place.sizes.filter(({ name }) => said.has(name));
  const sizes = place.sizes.map((size) =>
    sizeLine(size, said.get(size.name), SHARES[Math.max(0, written.indexOf(size)) % SHARES.length]),
  );
  const points = Object.entries(place.points).map(([name, point]) => spread(point, name === current, set.has(name)));
  return {
    drawn: [...sizes, ...points].flatMap(({ drawn }) => drawn),
    place: (/** @type {PhotoViewer} */ viewer) => {
      for (const shape of [...sizes, ...points]) shape.place(viewer);
    },
  };
}

/** @param {PhotoPlace['sizes'][number]} size @param {string | undefined} words @param {number} share */
function sizeLine({ name, start, end }, words, share) {
  const line = svg('line', { class: words ? 'size-in-photo served' : 'size-in-photo' });
  const text = words ? svg('text', { class: 'size-said', 'text-anchor': 'middle' }, `${name} ${words}`) : null;
  const place = (/** @type {PhotoViewer} */ viewer) => {
    const [a, b] = [start, end].map(([x, y]) => viewer.toScreen({ x, y }));
    for (const [key, value] of Object.entries({ x1: a.x, y1: a.y, x2: b.x, y2: b.y }))
      line.setAttribute(key, value.toFixed(1));
    // Beside a short line its words would lie on the names of its points: they go below.
    const beside = Math.hypot(b.x - a.x, b.y - a.y) < SHORT_PX ? BELOW_PX : -ABOVE_PX;
    const middle = { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y) + beside };
    const { x, y } = keptInside(text?.textContent ?? '', middle, viewer);
    text?.setAttribute('x', x.toFixed(1));
    text?.setAttribute('y', y.toFixed(1));
  };
  return { drawn: text ? [line, text] : [line], place };
}

/** @param {PhotoPlace['points'][string]} point @param {boolean} current @param {boolean} set */
function spread(point, current, set) {
  const ellipse = ellipse95(point.cov_px2);
  const ring = svg('ellipse', { class: 'spread-ring', transform: `rotate(${ellipse.turn_deg.toFixed(1)})` });
  const drawn = svg('g', { class: `spread${current ? ' current' : ''}${set ? '' : ' expected'}` }, ring);
  const place = (/** @type {PhotoViewer} */ viewer) => {
    const times = ellipsesTimes(viewer.scale) * viewer.scale;
    ring.setAttribute('rx', (ellipse.long * times).toFixed(1));
    ring.setAttribute('ry', (ellipse.short * times).toFixed(1));
    moveTo(drawn, viewer.toScreen({ x: point.at[0], y: point.at[1] }));
  };
  return { drawn: [drawn], place };
}
