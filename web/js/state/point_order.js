/** The points of a wall as they are set one after another, and which one comes next. */
import { marksOf } from '../geometry/sizes.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */

/**
 * Names of the sizes that a point serves, the lines first.
 * @param {WallFacts} wall
 * @param {string} point
 * @returns {string[]}
 */
export function servedBy(wall, point) {
  const lines = [];
  if (wall.level?.includes(point)) lines.push('level line');
  if (wall.plumb?.includes(point)) lines.push('plumb line');
  return [
    ...lines,
    ...wall.dimensions.filter((size) => marksOf(size).includes(point)).map((size) => size.name),
  ];
}

/**
 * The next point that is not set, after one, going round.
 * @param {string[]} names
 * @param {Set<string>} done
 * @param {string} after
 */
export function nextUnset(names, done, after) {
  const at = names.indexOf(after);
  const round = [...names.slice(at + 1), ...names.slice(0, at + 1)];
  return round.find((name) => !done.has(name)) ?? null;
}
