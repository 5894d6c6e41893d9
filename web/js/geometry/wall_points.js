/** The points of a wall for its drawing: measured where the report has them, sketched elsewhere. */
import { boxAround } from './boxes.js';
import { completed, sketchPoints } from './sketch.js';
import { marksOf } from './sizes.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */

/** @typedef {import('../types.js').Ends} Ends */

/**
 * @typedef {object} WallPoints
 * @property {Map<string, Point>} points mm
 * @property {Set<string>} guessed names that no photo has measured
 * @property {Map<string, [Point, Point]>} ends where sizes lie by what they are
 * @property {Point[]} outline ends of sizes that no point is named for, where they lie on an edge
 * @property {Point} zero where the plumb line crosses the level line
 * @property {boolean} taped whether some of it lies where the tape has it
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
 * @param {Record<string, Ends>} [places] of its sizes, from the plumb line and the level line
 * @returns {WallPoints}
 */
export function wallPoints(wall, report, corner, places = {}) {
  const measured = new Map(
    Object.entries(report?.points ?? {}).map(([name, point]) => [name, { x: point.x_mm, y: point.y_mm }]),
  );
  const { points, guessed } = completed(measured, sketchPoints(namedPoints(wall), corner));
  const zero = whereLinesCross(wall, points);
  const at = (/** @type {import('../types.js').Pair} */ [x, y]) => ({ x: zero.x + x, y: zero.y + y });
  const ends = new Map(Object.entries(places).map(([name, [a, b]]) => [name, bothAt(at(a), at(b))]));
  const moved = putWhereTaped(wall, points, guessed, ends);
  const loose = wall.dimensions.filter((size) => !size.from && ends.has(size.name));
  const outline = loose
    .filter(({ role }) => TO_OUTLINE.has(role ?? ''))
    .flatMap(({ name, role }) => (role === 'height' ? (ends.get(name) ?? []) : (ends.get(name)?.slice(1) ?? [])));
  const box = boxAround([...points.values(), ...loose.flatMap(({ name }) => ends.get(name) ?? [])]);
  return { points, guessed, ends, outline, zero, taped: moved || loose.length > 0, box: box ?? EMPTY };
}

/** @param {Point} a @param {Point} b @returns {[Point, Point]} */
const bothAt = (a, b) => [a, b];

/** Sizes from a line to an edge or to the deck: where they end is the wall's outline. */
const TO_OUTLINE = new Set(['offset', 'height']);

/** Where the plumb line crosses the level line. @param {WallFacts} wall @param {Map<string, Point>} points */
function whereLinesCross(wall, points) {
  const known = (/** @type {[string, string] | null} */ pair) =>
    (pair ?? []).map((name) => points.get(name)).find(Boolean);
  return { x: known(wall.plumb)?.x ?? 0, y: known(wall.level)?.y ?? 0 };
}

/**
 * Moves points that no photo shows to where sizes from the plumb or the level line have them, and those
 * of the same edge that are not taped yet along with them: an edge half taped is no zigzag.
 * @param {WallFacts} wall
 * @param {Map<string, Point>} points
 * @param {Set<string>} guessed
 * @param {Map<string, [Point, Point]>} ends
 */
function putWhereTaped(wall, points, guessed, ends) {
  /** @type {Map<string, Point>} */
  const moved = new Map();
  for (const size of wall.dimensions) {
    const end = size.kind === 'to_line' ? ends.get(size.name)?.[1] : undefined;
    if (!end || !size.from || !guessed.has(size.from)) continue;
    const drawn = /** @type {Point} */ (points.get(size.from));
    moved.set(size.from, { x: end.x - drawn.x, y: end.y - drawn.y });
    points.set(size.from, end);
  }
  for (const name of guessed) {
    if (!moved.has(name)) points.set(name, beside(name, /** @type {Point} */ (points.get(name)), moved));
  }
  return moved.size > 0;
}

/** Their first word names the edge: `inner 40` is beside `inner 16`. @param {string} name */
const edgeOf = (name) => name.split(/\s+/u)[0];

/**
 * A point of the sketch, moved as far as the taped ones of its edge were: the deck up or down, others across.
 * @param {string} name
 * @param {Point} drawn
 * @param {Map<string, Point>} moved
 * @returns {Point}
 */
function beside(name, drawn, moved) {
  const ways = [...moved].filter(([other]) => edgeOf(other) === edgeOf(name)).map(([, way]) => way);
  if (ways.length === 0) return drawn;
  const mean = (/** @type {'x' | 'y'} */ axis) => ways.reduce((sum, way) => sum + way[axis], 0) / ways.length;
  if (edgeOf(name) === 'deck') return { x: drawn.x, y: drawn.y + mean('y') };
  return { x: drawn.x + mean('x'), y: drawn.y };
}
