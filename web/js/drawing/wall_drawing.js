/** One wall's elevation: its lines, its sizes and its points, ready to be put beside its neighbours. */
import { lanes } from '../geometry/lanes.js';
import { isFixture, placeSize } from '../geometry/sizes.js';
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';
import { pointMark } from './point_mark.js';
import { faintLine, roomOf, sizeLine } from './size_line.js';
import { NEEDS_LOOK } from './status_shape.js';
import { wallLines } from './wall_lines.js';
import { sizeWords, wallWords } from './words.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */
/** @typedef {import('../geometry/unfold.js').Placing} Placing */
/** @typedef {import('../geometry/sizes.js').PlacedSize} PlacedSize */
/** @typedef {import('../geometry/sizes.js').Group} Group */

/**
 * @typedef {object} DrawnWall
 * @property {WallFacts} wall
 * @property {Report | null} report
 * @property {import('../geometry/wall_points.js').WallPoints} shape
 * @property {import('../types.js').Face} [face] what the plan says of it
 */

/** Px between dimension lines that run beside each other, with their figures written or not. */
const APART = Object.freeze({ written: 42, bare: 18 });

/**
 * @param {DrawnWall} drawn
 * @param {Placing} placing
 * @param {{group: Group, written: boolean, within?: import('../types.js').Pair}} look the sizes that are looked
 *   at, whether with figures, and between which px across their upright lines may lie
 * @param {(name: string) => string | null} photoOf the address of a photo with this point
 * @returns {SVGGElement}
 */
export function wallDrawing(drawn, placing, { group, written, within }, photoOf) {
  const { wall, report, shape, face } = drawn;
  const label = `${wallWords(wall)} wall: sizes. Arrow keys go from one to the next.`;
  const whole = svg('g', { class: 'wall', role: 'group', 'aria-label': label, 'data-wall': wall.id });
  const sizes = placedSizes(drawn);
  const shown = placesOf(
    drawn,
    sizes.filter((size) => size.group === group),
    placing,
    { written, within },
  );
  const taken = shown.flatMap(({ words, a, b, aside, at }) => roomOf(words, a, b, aside, at));
  whole.append(wallLines(wall, shape, placing, written, face && { face, taken }));
  for (const size of sizes.filter((other) => other.group !== group)) {
    const words = sizeWords(wall, report, size.facts.name);
    whole.append(
      faintLine(words, toScreen(placing, size.a), toScreen(placing, size.b), NEEDS_LOOK.has(words.status)),
    );
  }
  for (const [name, at] of shape.points) {
    const look = { guessed: shape.guessed.has(name), href: photoOf(name), fixture: isFixture(name) };
    whole.append(pointMark(name, toScreen(placing, at), look));
  }
  whole.append(...shown.map(({ words, a, b, aside, at }) => sizeLine(words, a, b, aside, { at, written })));
  return whole;
}

/**
 * The sizes of a wall that can be drawn, and where.
 * @param {DrawnWall} drawn
 * @returns {PlacedSize[]}
 */
export function placedSizes({ wall, shape }) {
  return wall.dimensions
    .map((facts) => placeSize(facts, shape.points, shape.ends))
    .filter((size) => size !== null);
}

/**
 * Where the line of each size runs, and where along it its label stands.
 * @param {DrawnWall} drawn
 * @param {PlacedSize[]} sizes
 * @param {Placing} placing
 * @param {{written: boolean, within?: import('../types.js').Pair}} look whether with figures
 */
function placesOf({ wall, report }, sizes, placing, { written, within }) {
  const ends = sizes.map((size) => ({ size, a: toScreen(placing, size.a), b: toScreen(placing, size.b) }));
  const apart = written ? APART.written : APART.bare;
  const places = [...levelPlaces(ends, apart), ...uprightPlaces(ends, apart, within), ...slantPlaces(ends)];
  return places.map(({ end: { size, a, b }, aside, labelAt: at }) => ({
    words: sizeWords(wall, report, size.facts.name),
    a,
    b,
    aside,
    at,
  }));
}

/**
 * @typedef {{size: PlacedSize, a: import('../types.js').Point, b: import('../types.js').Point}} Ends
 */

/** Level sizes keep their station; a width at the same station goes under the offsets. */
function levelPlaces(/** @type {Ends[]} */ all, /** @type {number} */ apart) {
  const level = all
    .filter(({ size }) => size.direction === 'across')
    .sort((one, other) => Number(one.size.spanning) - Number(other.size.spanning));
  const wanted = level.map(({ size, a, b }) => ({
    at: (a.y + b.y) / 2 + (size.spanning ? apart : 0),
    from: Math.min(a.x, b.x) + 1,
    to: Math.max(a.x, b.x) - 1,
  }));
  return lanes(wanted, apart).map((y, index) => {
    const { a, b } = level[index];
    const down = y - (a.y + b.y) / 2;
    return { end: level[index], aside: b.x >= a.x ? -down : down, labelAt: 0.5 };
  });
}

/**
 * Upright sizes stand at their station, or beside it where another stands there.
 * @param {Ends[]} all @param {number} apart @param {import('../types.js').Pair} [within]
 */
function uprightPlaces(all, apart, within) {
  const longest = (/** @type {Ends} */ one, /** @type {Ends} */ other) =>
    Math.abs(other.b.y - other.a.y) - Math.abs(one.b.y - one.a.y);
  const upright = all.filter(({ size }) => size.direction === 'up').sort(longest);
  const wanted = upright.map(({ a, b }) => ({
    at: (a.x + b.x) / 2,
    from: Math.min(a.y, b.y) + 1,
    to: Math.max(a.y, b.y) - 1,
  }));
  return lanes(wanted, apart, within).map((x, index) => {
    const { a, b } = upright[index];
    const right = x - (a.x + b.x) / 2;
    return { end: upright[index], aside: b.y >= a.y ? right : -right, labelAt: 0.5 };
  });
}

/** Diagonals lie where they are; their labels keep off the place where they cross. */
function slantPlaces(/** @type {Ends[]} */ all) {
  return all.filter(({ size }) => size.direction === 'slant').map((end) => ({ end, aside: 0, labelAt: 0.3 }));
}
