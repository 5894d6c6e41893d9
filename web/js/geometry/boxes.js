/** Upright boxes in a frame whose y goes up. */

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').Box} Box */

/**
 * The least box round some points, or null round none.
 * @param {Iterable<Point>} points
 * @returns {Box | null}
 */
export function boxAround(points) {
  const all = [...points];
  if (all.length === 0) return null;
  const xs = all.map((point) => point.x);
  const ys = all.map((point) => point.y);
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

/**
 * A box made larger on every side.
 * @param {Box} box
 * @param {number} by
 * @returns {Box}
 */
export function grown(box, by) {
  return { left: box.left - by, right: box.right + by, bottom: box.bottom - by, top: box.top + by };
}

/**
 * Corners of the convex hull, counter-clockwise with y up (monotone chain, Andrew 1979).
 * @param {Point[]} points
 * @returns {Point[]}
 */
export function hull(points) {
  const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y);
  if (sorted.length < 3) return sorted;
  const lower = chain(sorted);
  const upper = chain(sorted.reverse());
  return [...lower.slice(0, -1), ...upper.slice(0, -1)];
}

/** @param {Point[]} sorted @returns {Point[]} */
function chain(sorted) {
  /** @type {Point[]} */
  const kept = [];
  for (const point of sorted) {
    while (kept.length > 1 && turn(kept[kept.length - 2], kept[kept.length - 1], point) <= 0) kept.pop();
    kept.push(point);
  }
  return kept;
}

/** @param {Point} a @param {Point} b @param {Point} c */
function turn(a, b, c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}
