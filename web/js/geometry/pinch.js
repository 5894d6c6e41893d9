/**
 * Two fingers on a photo: zoom and centre from where they were and where they are, absolutely, so that
 * what lay under each finger stays under it however few moves arrive.
 */
import { length, middle, minus } from './vectors.js';

/** @typedef {import('../types.js').Point} Point */

/**
 * @typedef {object} View
 * @property {number} scale screen px per image px
 * @property {Point} centre image px at the middle of the screen
 */

/**
 * @param {View} start the view when the second finger came down
 * @param {[Point, Point]} before the fingers then, screen px from the middle of the screen
 * @param {[Point, Point]} now
 * @param {{least: number, most: number}} limits of the scale
 * @returns {View}
 */
export function pinched(start, before, now, limits) {
  const spread = Math.max(length(minus(before[1], before[0])), 1);
  const ratio = length(minus(now[1], now[0])) / spread;
  const scale = Math.min(limits.most, Math.max(limits.least, start.scale * ratio));
  const held = middle(before[0], before[1]);
  const hand = middle(now[0], now[1]);
  const anchor = { x: start.centre.x + held.x / start.scale, y: start.centre.y + held.y / start.scale };
  return { scale, centre: { x: anchor.x - hand.x / scale, y: anchor.y - hand.y / scale } };
}
