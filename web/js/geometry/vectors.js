/** Plane vectors. Frames: see types.js. */

/** @typedef {import('../types.js').Point} Point */

/** @param {Point} a @param {Point} b @returns {Point} */
export const plus = (a, b) => ({ x: a.x + b.x, y: a.y + b.y });

/** @param {Point} a @param {Point} b @returns {Point} */
export const minus = (a, b) => ({ x: a.x - b.x, y: a.y - b.y });

/** @param {Point} a @param {number} k @returns {Point} */
export const times = (a, k) => ({ x: a.x * k, y: a.y * k });

/** @param {Point} a */
export const length = (a) => Math.hypot(a.x, a.y);

/** @param {Point} a @param {Point} b @returns {Point} */
export const middle = (a, b) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });

/**
 * Unit vector, or x where there is no direction.
 * @param {Point} a
 * @returns {Point}
 */
export function unit(a) {
  const size = length(a);
  return size > 0 ? times(a, 1 / size) : { x: 1, y: 0 };
}

/**
 * Where the perpendicular from a point meets the line through two others.
 * @param {Point} point
 * @param {Point} from
 * @param {Point} to
 * @returns {Point}
 */
export function foot(point, from, to) {
  const along = unit(minus(to, from));
  const offset = minus(point, from);
  return plus(from, times(along, offset.x * along.x + offset.y * along.y));
}
