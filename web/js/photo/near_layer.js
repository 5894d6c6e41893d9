/** What may be meant by a point, numbered, each in the ellipse that it lies in with 95 % chance. */
import { ellipse95 } from '../geometry/ellipse.js';
import { svg } from '../page/dom.js';
import { moveTo } from './overlay.js';

/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

const LEAST_PX = 2;

/**
 * @param {import('../types.js').Snap[]} snaps
 * @returns {import('./overlay.js').Layer}
 */
export function nearLayer(snaps) {
  const shapes = snaps.map((snap, index) => {
    const ring = svg('ellipse', { class: 'near-ring' });
    const drawn = svg(
      'g',
      { class: index === 0 ? 'near first' : 'near' },
      ring,
      svg('path', { d: 'M-9 0 L0 -9 L9 0 L0 9 Z', class: 'under' }),
      svg('path', { d: 'M-9 0 L0 -9 L9 0 L0 9 Z', class: 'over' }),
      snaps.length > 1 ? svg('text', { x: 11, y: 16 }, String(index + 1)) : null,
    );
    return { at: { x: snap.at[0], y: snap.at[1] }, ring, drawn, ellipse: ellipse95(snap.cov_px2) };
  });
  const place = (/** @type {PhotoViewer} */ viewer) => {
    for (const { at, ring, drawn, ellipse } of shapes) {
      moveTo(drawn, viewer.toScreen(at));
      ring.setAttribute('rx', Math.max(LEAST_PX, ellipse.long * viewer.scale).toFixed(1));
      ring.setAttribute('ry', Math.max(LEAST_PX, ellipse.short * viewer.scale).toFixed(1));
      ring.setAttribute('transform', `rotate(${ellipse.turn_deg.toFixed(1)})`);
    }
  };
  return { drawn: shapes.map(({ drawn }) => drawn), place };
}
