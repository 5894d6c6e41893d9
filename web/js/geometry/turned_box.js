/** A box of writing that is turned with its line, and what runs through it. In px, y down. */

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./clear_place.js').Patch} Patch */
/** @typedef {{at: Point, turn: number, own: Patch}} TurnedBox origin, degrees clockwise, and itself unturned */

const STEP = 3;

/**
 * How much of some lines runs through a box, in steps of a few px.
 * @param {TurnedBox} box
 * @param {[Point, Point][]} lines
 */
export function struck(box, lines) {
  return lines.flatMap(([from, to]) => dotted(from, to)).filter((point) => holds(box, point)).length;
}

/**
 * The middle line of a box, from end to end.
 * @param {TurnedBox} box
 * @returns {[Point, Point]}
 */
export function spine({ at, turn, own }) {
  const y = (own.top + own.bottom) / 2;
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const put = (/** @type {number} */ x) => ({ x: at.x + x * cos - y * sin, y: at.y + x * sin + y * cos });
  return [put(own.left), put(own.right)];
}

/** @param {TurnedBox} box @param {Point} point */
function holds({ at, turn, own }, point) {
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const [right, down] = [point.x - at.x, point.y - at.y];
  const x = right * cos + down * sin;
  const y = down * cos - right * sin;
  return x > own.left && x < own.right && y > own.top && y < own.bottom;
}

/** @param {Point} from @param {Point} to @returns {Point[]} */
function dotted(from, to) {
  const count = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / STEP));
  return Array.from({ length: count + 1 }, (_, number) => ({
    x: from.x + ((to.x - from.x) * number) / count,
    y: from.y + ((to.y - from.y) * number) / count,
  }));
}
