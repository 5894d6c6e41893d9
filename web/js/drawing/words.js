/** What a drawing and its table say of one size, from the wall's facts and its report. */
import { plusMinusText, sizeText } from '../geometry/lengths.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */

const TO_RETAKE = new Set(['conflicts', 'unsure']);

/**
 * @param {WallFacts} wall
 * @param {Report | null} report
 * @param {string} name of the size
 * @returns {import('./size_line.js').SizeWords}
 */
export function sizeWords(wall, report, name) {
  const found = report?.dimensions.find((size) => size.name === name) ?? null;
  const readings = standingReadings(wall, name);
  const hidden = found !== null && isHidden(found);
  return {
    name,
    status: found && (readings.length > 0 || found.status !== 'tape only') ? found.status : 'none',
    tape: tapeText(readings),
    photo: hidden || !found || found.photo_mm === null || !found.photo_interval95_mm ? '' : photoText(found),
    hidden,
  };
}

/**
 * Whether the service keeps back what is expected of a size: it is to be taped, or taped again.
 * @param {import('../types.js').SizeReport} size
 */
export const isHidden = ({ status, photo_mm, expected_mm }) =>
  photo_mm === null && (status === 'photo only' || (TO_RETAKE.has(status) && expected_mm === null));

/** A wall's name in words. @param {{name: string}} wall */
export const wallWords = (wall) => wall.name.replace('-', ' ');

/**
 * The readings of a size that no other reading replaces, oldest first.
 * @param {WallFacts} wall
 * @param {string} name
 */
export function standingReadings(wall, name) {
  const replaced = new Set(wall.readings.map((reading) => reading.replaces).filter(Boolean));
  return wall.readings.filter((reading) => reading.dimension === name && !replaced.has(reading.id));
}

/** @param {import('../types.js').ReadingFacts[]} readings */
function tapeText(readings) {
  const last = readings.at(-1);
  if (!last) return '';
  return readings.length > 1 ? `${last.value} (${readings.length}×)` : last.value;
}

/** @param {import('../types.js').SizeReport} size */
function photoText(size) {
  const mm = /** @type {number} */ (size.photo_mm);
  const interval = /** @type {import('../types.js').Pair} */ (size.photo_interval95_mm);
  return `${sizeText(mm)} ${plusMinusText(interval)}`;
}
