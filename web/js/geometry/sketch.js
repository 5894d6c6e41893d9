/**
 * Where points would lie on an ordinary alcove, from their names: what is drawn before a photo has
 * been measured, and for points that are in no photo. Common practice: 60 in alcove, level line
 * about 66 in over the deck. Never a size.
 */
import { MM_PER_INCH } from './lengths.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {'none' | 'left' | 'right'} Corner which side of an end wall meets the back wall */

const DECK = -66;
const SIDES = { left: -28, right: 31 };
const INNER = 11.5;
const OUTER = -20;
const FRONT = -17.25;
const PIPES = Object.freeze({ arm: [-4, -3], valve: [-4, -51], spout: [-4, -61.5] });

/**
 * A place for every point whose name says where it is, inches turned into mm; x from the plumb line.
 * @param {Iterable<string>} names
 * @param {Corner} corner
 * @returns {Map<string, Point>}
 */
export function sketchPoints(names, corner) {
  const found = new Map();
  const hand = corner === 'left' ? -1 : 1;
  for (const name of names) {
    const place = placeOf(name.trim().toLowerCase());
    if (!place) continue;
    const x = corner === 'none' ? place[0] : place[0] * hand;
    found.set(name, { x: x * MM_PER_INCH, y: place[1] * MM_PER_INCH });
  }
  return found;
}

/**
 * Measured points, and the others where the sketch has them, moved to lie beside the measured.
 * @param {Map<string, Point>} measured
 * @param {Map<string, Point>} sketch
 * @returns {{points: Map<string, Point>, guessed: Set<string>}}
 */
export function completed(measured, sketch) {
  const shared = [...measured.keys()].filter((name) => sketch.has(name));
  const shift = { x: 0, y: 0 };
  for (const name of shared) {
    const [real, drawn] = [measured.get(name), sketch.get(name)];
    if (!real || !drawn) continue;
    shift.x += (real.x - drawn.x) / shared.length;
    shift.y += (real.y - drawn.y) / shared.length;
  }
  const points = new Map(measured);
  const guessed = new Set();
  for (const [name, drawn] of sketch) {
    if (points.has(name)) continue;
    points.set(name, { x: drawn.x + shift.x, y: drawn.y + shift.y });
    guessed.add(name);
  }
  return { points, guessed };
}

/**
 * @param {string} name
 * @returns {[number, number] | null} x from plumb, y from the level line, inches
 */
function placeOf(name) {
  const pipe = /** @type {Record<string, number[]>} */ (PIPES)[name];
  if (pipe) return [pipe[0], pipe[1]];
  const [family, station = ''] = name.split(/\s+/u);
  const number = Number.parseFloat(station);
  switch (family) {
    case 'left':
    case 'right':
      return [SIDES[family], -(number || 0)];
    case 'inner':
      return [INNER, -(number || 0)];
    case 'outer':
      return [OUTER, -(number || 0)];
    case 'plumb':
      return [0, -(number || 16)];
    case 'level':
      return [levelPlace(station), 0];
    case 'deck':
      return [deckPlace(station, number), DECK];
    default:
      return null;
  }
}

/** @param {string} station */
function levelPlace(station) {
  const known = { left: -22, right: 22, inner: 7, outer: -15 };
  return /** @type {Record<string, number>} */ (known)[station] ?? 0;
}

/** @param {string} station @param {number} number */
function deckPlace(station, number) {
  if (Number.isFinite(number)) return number;
  const known = { left: -27, right: 30, inner: 11, plumb: 0, front: FRONT };
  return /** @type {Record<string, number>} */ (known)[station] ?? 0;
}
