/** Where a size lies on its wall: its two ends, its direction, and the group it is shown in. */
import { foot, minus } from './vectors.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').DimensionFacts} DimensionFacts */
/** @typedef {'across' | 'up' | 'slant' | 'pipes'} Group */

/**
 * @typedef {object} PlacedSize
 * @property {DimensionFacts} facts
 * @property {Point} a
 * @property {Point} b the end that the size is taken to
 * @property {'across' | 'up' | 'slant'} direction
 * @property {Group} group
 * @property {boolean} spanning from point to point, not from a line
 */

const UPRIGHT = 0.15;

/** The names of every mark that a size is made of. */
export const marksOf = (/** @type {DimensionFacts} */ facts) =>
  [facts.from, facts.to, ...(facts.line ?? [])].filter((name) => typeof name === 'string');

/**
 * The size between the points as they lie now, or null where one of them is missing.
 * @param {DimensionFacts} facts
 * @param {Map<string, Point>} points
 * @returns {PlacedSize | null}
 */
export function placeSize(facts, points) {
  const ends = endsOf(facts, points);
  if (!ends) return null;
  const [a, b] = ends;
  const direction = directionOf(minus(b, a));
  const group = isFixture(facts.from) ? 'pipes' : direction;
  return { facts, a, b, direction, group, spanning: (facts.kind ?? 'distance') === 'distance' };
}

/**
 * A point of its own, like a pipe: corners and decks are named in families (`left 16`, `left 40`).
 * @param {string} name
 */
export const isFixture = (name) => !/\s/u.test(name.trim());

/**
 * @param {DimensionFacts} facts
 * @param {Map<string, Point>} points
 * @returns {[Point, Point] | null}
 */
function endsOf(facts, points) {
  const from = points.get(facts.from);
  if (!from) return null;
  if (facts.kind === 'to_line') {
    const [first, second] = (facts.line ?? []).map((name) => points.get(String(name)));
    return first && second ? [foot(from, first, second), from] : null;
  }
  const to = facts.to ? points.get(facts.to) : undefined;
  if (!to) return null;
  if (facts.kind === 'dx') return [from, { x: to.x, y: from.y }];
  if (facts.kind === 'dy') return [from, { x: from.x, y: to.y }];
  return [from, to];
}

/** @param {Point} step @returns {'across' | 'up' | 'slant'} */
function directionOf(step) {
  const across = Math.abs(step.x);
  const up = Math.abs(step.y);
  if (up <= across * UPRIGHT) return 'across';
  return across <= up * UPRIGHT ? 'up' : 'slant';
}
