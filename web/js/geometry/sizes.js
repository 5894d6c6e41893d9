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

/** Sizes by the way they run, where nothing tells where they lie. @type {Record<string, Group>} */
const GROUP_OF_ROLE = {
  height: 'up',
  'line to floor': 'up',
  'deck to floor': 'up',
  'line to ceiling': 'up',
  'floor to ceiling': 'up',
  'tile top': 'up',
  courses: 'up',
  'cut row': 'up',
  diagonal: 'slant',
};

/**
 * The size between the points as they lie now, else where it lies by what it is; null where nothing
 * tells.
 * @param {DimensionFacts} facts
 * @param {Map<string, Point>} points
 * @param {Map<string, [Point, Point]>} [byRole]
 * @returns {PlacedSize | null}
 */
export function placeSize(facts, points, byRole) {
  const ends = endsOf(facts, points) ?? byRole?.get(facts.name);
  if (!ends) return null;
  const [a, b] = ends;
  const direction = directionOf(minus(b, a));
  const group = isPipe(facts) ? 'pipes' : direction;
  return { facts, a, b, direction, group, spanning: (facts.kind ?? 'distance') === 'distance' };
}

/** The group of a size that lies nowhere on the drawing. @param {DimensionFacts} facts @returns {Group} */
export const groupOf = (facts) => (isPipe(facts) ? 'pipes' : (GROUP_OF_ROLE[facts.role ?? ''] ?? 'across'));

/** @param {DimensionFacts} facts */
function isPipe({ role, from }) {
  return role ? role.startsWith('fixture') : Boolean(from) && isFixture(String(from));
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
  const from = points.get(facts.from ?? '');
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
