/**
 * Lengths as they are shown on a screen: to the nearest sixteenth, the fraction reduced as the trade
 * writes it. What gets cut is printed by the service's own rounding, never by this.
 */

export const MM_PER_INCH = 25.4;
const PARTS = 16;

/** @typedef {'in' | 'mm'} ShownUnit */

/**
 * Inches with a reduced fraction, without the unit: `59 7/8`, `-3/4`, `0`.
 * @param {number} sixteenths whole number of sixteenths
 */
export function sixteenthsText(sixteenths) {
  const sign = sixteenths < 0 ? '-' : '';
  const size = Math.abs(sixteenths);
  const whole = Math.floor(size / PARTS);
  const rest = size % PARTS;
  if (rest === 0) return `${sign}${whole}`;
  const fraction = fractionText(rest);
  return whole === 0 ? `${sign}${fraction}` : `${sign}${whole} ${fraction}`;
}

/**
 * Some sixteenths of an inch as a reduced fraction: 8 is `1/2`.
 * @param {number} sixteenths 1 to 15
 */
export function fractionText(sixteenths) {
  let top = sixteenths;
  let bottom = PARTS;
  while (top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  return `${top}/${bottom}`;
}

/**
 * A size for the screen, to the nearest sixteenth or whole millimetre, without its unit.
 * @param {number} mm
 * @param {ShownUnit} [shown]
 */
export function sizeText(mm, shown = 'in') {
  if (shown === 'mm') return Math.round(mm).toString();
  return sixteenthsText(nearestSixteenth(mm));
}

/** Whole millionths of a millimetre in 1/16 in, and in 1 mm: what the service rounds by. */
const SIXTEENTH = 1_587_500;
const GRAIN = 1_000_000;

/** As the service rounds: exactly midway goes to the even one. @param {number} mm */
function nearestSixteenth(mm) {
  const size = Math.round(Math.abs(mm) * GRAIN);
  const below = Math.floor(size / SIXTEENTH);
  const rest = 2 * (size - below * SIXTEENTH) - SIXTEENTH;
  const nearest = rest > 0 || (rest === 0 && below % 2 === 1) ? below + 1 : below;
  return mm < 0 ? -nearest : nearest;
}

/**
 * Half of a 95 % interval, never shown smaller than it is.
 * @param {import('../types.js').Pair} interval mm
 * @param {ShownUnit} [shown]
 */
export function plusMinusText(interval, shown = 'in') {
  const half = (interval[1] - interval[0]) / 2;
  if (shown === 'mm') return `± ${Math.ceil(half * 10) / 10}`;
  return `± ${sixteenthsText(Math.max(1, Math.ceil((half / MM_PER_INCH) * PARTS)))}`;
}

/**
 * A size and its interval: `27 1/2 ± 1/16 in`.
 * @param {number} mm
 * @param {import('../types.js').Pair} interval
 * @param {ShownUnit} [shown]
 */
export function estimateText(mm, interval, shown = 'in') {
  return `${sizeText(mm, shown)} ${plusMinusText(interval, shown)} ${shown}`;
}
