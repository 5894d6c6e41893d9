/** The points of a wall for its drawing: measured where the report has them, sketched elsewhere. */
import { boxAround } from './boxes.js';
import { completed, sketchPoints } from './sketch.js';
import { marksOf } from './sizes.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */

/**
 * @typedef {object} WallPoints
 * @property {Map<string, Point>} points mm
 * @property {Set<string>} guessed names that no photo has measured
 * @property {import('../types.js').Box} box
 */

const EMPTY = Object.freeze({ left: 0, right: 800, bottom: -1680, top: 0 });

/**
 * Every mark that the wall's lines and sizes speak of, in that order.
 * @param {WallFacts} wall
 * @returns {string[]}
 */
export function namedPoints(wall) {
  const names = new Set([...(wall.marks_wanted ?? []), ...(wall.level ?? []), ...(wall.plumb ?? [])]);
  for (const size of wall.dimensions)
    for (const name of marksOf(size)) names.add(/** @type {string} */ (name));
  for (const photo of wall.photos) for (const name of Object.keys(photo.marks ?? {})) names.add(name);
  return [...names];
}

/**
 * @param {WallFacts} wall
 * @param {Report | null} report
 * @param {import('./sketch.js').Corner} corner
 * @returns {WallPoints}
 */
export function wallPoints(wall, report, corner) {
  const measured = new Map(
    Object.entries(report?.points ?? {}).map(([name, point]) => [name, { x: point.x_mm, y: point.y_mm }]),
  );
  const { points, guessed } = completed(measured, sketchPoints(namedPoints(wall), corner));
  return { points, guessed, box: boxAround(points.values()) ?? EMPTY };
}
