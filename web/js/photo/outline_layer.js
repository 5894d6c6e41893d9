/** Rectangles and lines as they are set in the photo, and the one that is being set. */
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Pair} Pair */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */
/** @typedef {{name: string, at: Pair[], closed: boolean, open?: boolean}} Outline */

/**
 * @param {Outline[]} outlines
 * @returns {import('./overlay.js').Layer}
 */
export function outlineLayer(outlines) {
  const shapes = outlines.map((one) => ({
    ...one,
    path: svg('path', { class: one.open ? 'outline open' : 'outline' }),
    text: svg('text', { class: 'card-name' }, one.name),
  }));
  const place = (/** @type {PhotoViewer} */ viewer) => {
    for (const { at, closed, path, text } of shapes) {
      const there = at.map(([x, y]) => viewer.toScreen({ x, y }));
      const line = there.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join(' L');
      const dots = there.map(({ x, y }) => `M${(x - 4).toFixed(1)} ${y.toFixed(1)} h8 m-4 -4 v8`).join(' ');
      path.setAttribute('d', there.length ? `M${line}${closed ? ' Z' : ''} ${dots}` : '');
      text.setAttribute('x', String((there[0]?.x ?? 0) + 8));
      text.setAttribute('y', String((there[0]?.y ?? 0) - 8));
    }
  };
  return { drawn: shapes.flatMap(({ path, text }) => [path, text]), place };
}
