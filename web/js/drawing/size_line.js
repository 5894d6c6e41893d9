/**
 * One size as a dimension line in the manner of ISO 129-1: extension lines from the two ends, a line
 * with arrowheads, the value along it, readable from below or from the right. Over the line stand
 * shape, tape value and status word, under it what the photos say.
 */
import { along, turned } from '../geometry/clear_place.js';
import { length, middle, minus, plus, times, unit } from '../geometry/vectors.js';
import { svg } from '../page/dom.js';
import { arrowhead } from './plain_dimension.js';
import { slug, statusShape } from './status_shape.js';

/** @typedef {import('../types.js').Point} Point */

/**
 * @typedef {object} SizeWords
 * @property {string} name
 * @property {import('../types.js').Status | 'none'} status
 * @property {string} tape as written on the tape; empty when not taped
 * @property {string} photo value and interval; empty when in no photo
 * @property {boolean} [hidden] a photo shows it, but that is kept until it is taped
 */

const GAP = 3;
const PAST = 6;
const TAPE_LETTER = 8.3;
const WORD_LETTER = 7;
const SHAPE_ROOM = 22;
/** A label may reach past its line by the rest of this part of its width. */
const SHORT = 0.66;
const TOUCH = 44;

/**
 * @param {SizeWords} words
 * @param {Point} a px
 * @param {Point} b px
 * @param {number} aside px from the ends to the dimension line, to the left of a→b on the screen
 * @param {{at: number, written: boolean, brief?: boolean}} look how far along the line its label stands,
 *   0 to 1; whether the figures are written or the shape alone; brief: without the word, which the shape
 *   tells as well
 * @returns {SVGGElement}
 */
export function sizeLine(words, a, b, aside, look) {
  const shift = times(leftOf(a, b), aside);
  const [from, to] = [plus(a, shift), plus(b, shift)];
  const group = svg('g', {
    class: `size ${slug(words.status)}`,
    role: 'button',
    tabindex: -1,
    'data-size': words.name,
    'aria-label': spoken(words),
  });
  group.append(
    touchArea(from, to),
    ...extensions(a, b, shift),
    lineWithArrows(from, to),
    look.written ? label(words, from, to, look) : shapeAlone(words, from, to, look.at),
  );
  return group;
}

/**
 * What the written line of a size takes up: its label and the line itself, in px.
 * @param {SizeWords} words
 * @param {Point} a
 * @param {Point} b
 * @param {number} aside
 * @param {number} labelAt
 * @returns {import('../geometry/clear_place.js').Patch[]}
 */
export function roomOf(words, a, b, aside, labelAt) {
  const shift = times(leftOf(a, b), aside);
  const [from, to] = [plus(a, shift), plus(b, shift)];
  const { at, turn, wide } = labelPlace(words, from, to, labelAt);
  const own = { left: -wide / 2, right: wide / 2, top: -20, bottom: words.photo ? 19 : 0 };
  return [turned(at, turn, own), ...along(from, to, GAP)];
}

/**
 * Where the label of a size stands on its line, to see what runs through it.
 * @param {SizeWords} words
 * @param {Point} from
 * @param {Point} to
 * @param {number} labelAt
 * @param {boolean} brief
 * @returns {import('../geometry/turned_box.js').TurnedBox}
 */
export function labelBox(words, from, to, labelAt, brief) {
  const { at, turn, wide } = labelPlace(words, from, to, labelAt, brief);
  return { at, turn, own: { left: -wide / 2, right: wide / 2, top: -20, bottom: words.photo ? 19 : -GAP } };
}

/**
 * A size of a group that is not being looked at: a thin line, and its shape only if it needs a look.
 * @param {SizeWords} words
 * @param {Point} a
 * @param {Point} b
 * @param {boolean} shown
 */
export function faintLine(words, a, b, shown) {
  const group = svg('g', { class: 'size-faint', 'aria-hidden': 'true' });
  group.append(svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y }));
  const centre = middle(a, b);
  if (shown) group.append(statusShape(words.status, centre.x, centre.y, 7));
  return group;
}

/**
 * What is written on the line, in its order, after the name and what the figures are.
 * @param {SizeWords} words
 */
function spoken(words) {
  const kinds = [words.tape && 'tape', words.photo && 'photo'].filter(Boolean).join(' and ');
  const written = [words.tape, wordOf(words), words.photo].filter(Boolean).join(' ');
  return `${words.name}${kinds ? `, ${kinds}` : ''}: ${written}`;
}

/** @param {SizeWords} words */
const wordOf = (words) => (words.status === 'none' ? 'to tape' : words.status);

/** The word on the drawing; an untaped size has nothing else. @param {SizeWords} words @param {boolean} [brief] */
const overLine = (words, brief = false) => (brief && words.tape ? '' : wordOf(words));

/** Unit vector to the left of a→b as seen on a screen whose y goes down. */
function leftOf(/** @type {Point} */ a, /** @type {Point} */ b) {
  const along = unit(minus(b, a));
  return { x: along.y, y: -along.x };
}

/** @param {Point} a @param {Point} b @param {Point} shift */
function extensions(a, b, shift) {
  const far = length(shift);
  if (far < GAP) return [];
  const way = unit(shift);
  return [a, b].map((end) => {
    const start = plus(end, times(way, GAP));
    const stop = plus(end, times(way, far + PAST));
    return svg('line', { x1: start.x, y1: start.y, x2: stop.x, y2: stop.y, class: 'extension' });
  });
}

/** @param {Point} from @param {Point} to */
function lineWithArrows(from, to) {
  const group = svg('g', { class: 'dimension-line' });
  group.append(svg('line', { x1: from.x, y1: from.y, x2: to.x, y2: to.y }));
  group.append(arrowhead(from, to), arrowhead(to, from));
  return group;
}

/**
 * Where a label stands, how it is turned (degrees), how wide it is (px), and its word. On a line too short for
 * it the word goes, which the shape tells as well; where that is not enough it stands level, past the end that
 * the size is taken to, or beside an upright line.
 * @param {SizeWords} words @param {Point} from @param {Point} to @param {number} labelAt @param {boolean} [brief]
 */
function labelPlace(words, from, to, labelAt, brief = false) {
  const step = minus(to, from);
  const long = length(step);
  const room = (/** @type {string} */ said) =>
    words.tape.length * TAPE_LETTER + said.length * WORD_LETTER + SHAPE_ROOM;
  const [whole, least] = [overLine(words, brief), overLine(words, true)];
  const word = long < room(whole) * SHORT && long >= room(least) * SHORT ? least : whole;
  const wide = room(word);
  if (long < wide * SHORT) return { at: besides(from, to, wide), turn: 0, wide, word };
  return { at: plus(from, times(step, labelAt)), turn: readable(step), wide, word };
}

/**
 * Shape, tape value and word over the line, photo value under it.
 * @param {SizeWords} words @param {Point} from @param {Point} to @param {{at: number, brief?: boolean}} look
 */
function label(words, from, to, { at: labelAt, brief }) {
  const { at, turn, wide, word } = labelPlace(words, from, to, labelAt, brief);
  const group = svg('g', {
    transform: `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)}) rotate(${turn.toFixed(2)})`,
  });
  const shape = svg('g', {
    transform: `translate(${(8 - wide / 2).toFixed(1)} -10) rotate(${(-turn).toFixed(2)})`,
  });
  shape.append(statusShape(words.status, 0, 0, 6.5));
  const top = svg('text', { x: SHAPE_ROOM / 2, y: -5, 'text-anchor': 'middle', class: 'value' });
  if (words.tape) top.append(svg('tspan', { class: 'tape' }, words.tape), ' ');
  top.append(`${word} `);
  group.append(...backs(words, wide), shape, top);
  if (words.photo) {
    group.append(svg('text', { y: 14, 'text-anchor': 'middle', class: 'value photo' }, words.photo));
  }
  return group;
}

/**
 * What is behind the letters is dimmed, over and under the line; the line itself stays whole.
 * @param {SizeWords} words
 * @param {number} wide px
 */
function backs(words, wide) {
  const over = svg('rect', { x: -wide / 2, y: -18, width: wide, height: 15, class: 'label-back' });
  const part = words.photo.length * WORD_LETTER;
  if (!words.photo) return [over];
  return [over, svg('rect', { x: -part / 2, y: 3, width: part, height: 14, class: 'label-back' })];
}

/**
 * The turn that makes text along a step readable from below or from the right, degrees.
 * @param {Point} step
 */
function readable(step) {
  const turn = (Math.atan2(step.y, step.x) * 180) / Math.PI;
  if (turn > 89.5) return turn - 180;
  return turn <= -90.5 ? turn + 180 : turn;
}

/** @param {Point} from @param {Point} to @param {number} wide */
function besides(from, to, wide) {
  const step = minus(to, from);
  if (Math.abs(step.y) > Math.abs(step.x)) return plus(middle(from, to), { x: wide / 2 + 8, y: 0 });
  return plus(to, { x: Math.sign(step.x || 1) * (wide / 2 + 8), y: 0 });
}

/** @param {SizeWords} words @param {Point} from @param {Point} to @param {number} at */
function shapeAlone(words, from, to, at) {
  const centre = plus(from, times(minus(to, from), at));
  return statusShape(words.status, centre.x, centre.y, 7);
}

/** @param {Point} from @param {Point} to */
function touchArea(from, to) {
  return svg('line', { x1: from.x, y1: from.y, x2: to.x, y2: to.y, class: 'touch', 'stroke-width': TOUCH });
}
