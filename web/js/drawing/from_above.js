/** The alcove from above, to scale: the back wall on top, the two end walls, and the sizes that lie in plan. */
import { plusMinusText, sizeText } from '../geometry/lengths.js';
import { spine, struck } from '../geometry/turned_box.js';
import { el, svg } from '../page/dom.js';
import { labelBox, sizeLine } from './size_line.js';

/** @typedef {import('../types.js').FromAbove} FromAbove */
/** @typedef {import('../types.js').Pair} Pair */
/** @typedef {import('../types.js').Point} Point */
/** @typedef {{wall: string, role: string, words: import('./size_line.js').SizeWords, a: Point, b: Point}} Found */

const ROOM = Object.freeze({ left: 54, right: 22, over: 52, under: 30, most: 0.4 });
/** Px between the lines of sizes that lie on one another in plan. */
const APART = 44;
const DEPTH_ASIDE = 30;
/** A wall's name stands off the line that a size draws down from its end. */
const OFF = 7;
const BESIDE = 22;
const MIDDLE = Object.freeze({ at: 0.5, brief: false });
/** How far along its line a label may stand, the likeliest to be clear first: off the middle, where others cross. */
const LABELS_AT = Array.from({ length: 16 }, (_, step) => 0.2 + 0.04 * step).sort(
  (one, other) => Math.abs(one - 0.68) - Math.abs(other - 0.68),
);
/** Sizes whose lines lie beside the alcove, and not in it. */
const BESIDES = new Set(['opening', 'depth']);

/**
 * @param {FromAbove} above
 * @param {number} width px
 * @param {[string, string]} ends names of the end walls, left and right
 * @param {(wall: string, size: string) => {role: string, words: import('./size_line.js').SizeWords} | null} told
 * @returns {SVGSVGElement}
 */
export function fromAbove(above, width, ends, told) {
  const { outline, sizes } = above;
  const xs = outline.map(([x]) => x);
  const deep = Math.max(...outline.map(([, y]) => y));
  const wide = Math.max(...xs) - Math.min(...xs);
  const scale = Math.min(ROOM.most, (width - ROOM.left - ROOM.right) / wide);
  const start = (width - wide * scale - ROOM.left - ROOM.right) / 2 + ROOM.left - Math.min(...xs) * scale;
  const at = (/** @type {Pair} */ [x, y]) => ({ x: start + x * scale, y: ROOM.over + y * scale });
  const found = sizes.flatMap((size) => {
    const said = told(size.wall, size.size);
    return said ? [{ ...said, wall: size.wall, a: at(size.ends[0]), b: at(size.ends[1]) }] : [];
  });
  const below = found.filter(({ role }) => role === 'opening').length;
  const height = Math.ceil(ROOM.over + deep * scale + ROOM.under + below * APART);
  const picture = svg('svg', {
    class: 'from-above',
    width,
    height,
    viewBox: `0 0 ${width} ${height}`,
    role: 'group',
    'aria-label': 'Sizes in plan, from above. Arrow keys go from one to the next.',
  });
  picture.append(...shape(outline.map(at)), ...names(outline.map(at), ends), ...corners(above, outline.map(at)));
  picture.append(...lines(found, outline.map(at)));
  return picture;
}

/**
 * How far each back corner is out of square, as one says it: so much over the leg of the square.
 * @param {FromAbove} above
 */
export function squareWords(above) {
  if (above.square.length === 0) return null;
  const items = above.square.map((corner) => {
    const about = plusMinusText([-1.96 * corner.u_mm, 1.96 * corner.u_mm]);
    return el('li', {}, `${headed(corner.side)} back corner: ${outWords(corner)}, ${about}.`);
  });
  return el('ul', { class: 'outs' }, ...items);
}

/** @param {FromAbove['square'][number]} corner */
function outWords({ out_mm, over_mm }) {
  const out = sizeText(Math.abs(out_mm));
  const over = `over ${sizeText(over_mm)} in`;
  if (out === '0') return `square ${over}`;
  return `${out} in ${out_mm > 0 ? 'open' : 'closed'} ${over}`;
}

/** The three walls; the front is open. @param {Point[]} outline */
function shape(outline) {
  const points = outline.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
  return [
    svg('polygon', { points, class: 'face', 'aria-hidden': 'true' }),
    svg('polyline', { points, class: 'edge deck', 'aria-hidden': 'true' }),
  ];
}

/** @param {Point[]} outline @param {[string, string]} ends */
function names([leftFront, leftBack, rightBack, rightFront], [left, right]) {
  const name = (/** @type {string} */ words, /** @type {number} */ x, /** @type {number} */ y, anchor = 'middle') =>
    svg('text', { x, y, 'text-anchor': anchor, class: 'line-name', 'aria-hidden': 'true' }, words);
  return [
    name('back wall', (leftBack.x + rightBack.x) / 2, leftBack.y - 32),
    name(`${left} wall`, leftFront.x + OFF, leftFront.y + 18, 'start'),
    name(`${right} wall`, rightFront.x - OFF, rightFront.y + 18, 'end'),
  ];
}

/** Over each back corner how far it is out. @param {FromAbove} above @param {Point[]} outline */
function corners(above, outline) {
  return above.square.map((corner) => {
    const left = corner.side === 'left';
    const { x, y } = outline[left ? 1 : 2];
    const anchor = left ? 'start' : 'end';
    return svg(
      'text',
      { x, y: y - 10, 'text-anchor': anchor, class: 'square-out', 'aria-hidden': 'true' },
      outWords(corner).replaceAll(' in', ''),
    );
  });
}

/**
 * Openings under the front, depths beside the left wall, diagonals where they lie.
 * @param {Found[]} found
 * @param {Point[]} outline
 */
function lines(found, outline) {
  /** @type {Map<string, number>} */
  const beside = new Map();
  const lying = found.map((size) => {
    const place = [size.role, size.a.x, size.a.y].join(' ');
    const before = beside.get(place) ?? 0;
    beside.set(place, before + 1);
    return { ...size, before };
  });
  const walls = outline.slice(1).map((point, index) => /** @type {[Point, Point]} */ ([outline[index], point]));
  /** @type {[Point, Point][]} */
  const written = [];
  return lying.flatMap(({ wall, role, words, a, b, before }) => {
    const others = lying.filter((other) => !BESIDES.has(other.role) && !(other.a === a && other.b === b));
    const there = [...walls, ...others.map((other) => /** @type {[Point, Point]} */ ([other.a, other.b])), ...written];
    const look = BESIDES.has(role) || before > 0 ? MIDDLE : clearest(words, a, b, there);
    if (!BESIDES.has(role)) written.push(spine(labelBox(words, a, b, look.at, look.brief)));
    const line = sizeLine(words, a, b, aside(role, before), { ...look, written: true });
    line.setAttribute('data-wall', wall);
    line.classList.toggle('off-face', BESIDES.has(role));
    return role === 'opening' ? [line, nameUnder(words.name, a, APART * (before + 1))] : [line];
  });
}

/**
 * Where on its line a label is struck by least of what is there: with its word, else without.
 * @param {import('./size_line.js').SizeWords} words @param {Point} a @param {Point} b
 * @param {[Point, Point][]} there
 */
function clearest(words, a, b, there) {
  const looks = [false, true].flatMap((brief) => LABELS_AT.map((at) => ({ at, brief })));
  const crossed = looks.map(({ at, brief }) => struck(labelBox(words, a, b, at, brief), there));
  return looks[crossed.indexOf(Math.min(...crossed))];
}

/** Openings are told apart by their names. @param {string} name @param {Point} a @param {number} down */
const nameUnder = (name, a, down) =>
  svg('text', { x: a.x + 10, y: a.y + down + 14, class: 'line-name', 'aria-hidden': 'true' }, name);

/** @param {string} role @param {number} before how many lie there already */
function aside(role, before) {
  if (role === 'opening') return -APART * (before + 1);
  if (role === 'depth') return -(DEPTH_ASIDE + before * BESIDE);
  return before * BESIDE;
}

/** @param {string} words */
const headed = (words) => `${words[0].toUpperCase()}${words.slice(1)}`;
