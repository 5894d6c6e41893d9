/** Outlines of the cards found in the photo. */
import { svg } from '../page/dom.js';

/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

const ABOVE_PX = 8;

/**
 * @param {import('../types.js').PhotoFacts['cards']} cards
 * @returns {import('./overlay.js').Layer}
 */
export function cardLayer(cards) {
  const shapes = cards.map((card) => ({
    corners: card.outline.map(([x, y]) => ({ x, y })),
    outline: svg('polygon', { class: 'card-outline' }),
    name: svg('text', { class: 'card-name', 'text-anchor': 'middle' }, `card ${card.serial}`),
  }));
  const place = (/** @type {PhotoViewer} */ viewer) => {
    for (const { corners, outline, name } of shapes) {
      if (corners.length === 0) continue; // a card that cannot be drawn
      const there = corners.map((corner) => viewer.toScreen(corner));
      outline.setAttribute('points', there.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' '));
      const top = Math.min(...there.map(({ y }) => y));
      name.setAttribute('x', String(there.reduce((sum, { x }) => sum + x, 0) / there.length));
      name.setAttribute('y', String(top - ABOVE_PX));
    }
  };
  return { drawn: shapes.flatMap(({ outline, name }) => [outline, name]), place };
}
