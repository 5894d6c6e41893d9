/** The ellipse that a place lies in with 95 % chance, from its covariance. */

/** @typedef {import('../types.js').Covariance} Covariance */

/** Half axes in standard deviations: the root of chi-squared with two degrees of freedom at 95 %. */
const SURE = 2.4477;
const LEAST = 1e-12;

/**
 * Half axes and turn of the 95 % ellipse, in the covariance's own frame.
 * @param {Covariance} covariance
 * @returns {{long: number, short: number, turn_deg: number}} turn from x towards y
 */
export function ellipse95([[xx, xy], [, yy]]) {
  const middle = (xx + yy) / 2;
  const apart = Math.hypot((xx - yy) / 2, xy);
  return {
    long: SURE * Math.sqrt(Math.max(middle + apart, LEAST)),
    short: SURE * Math.sqrt(Math.max(middle - apart, LEAST)),
    turn_deg: ((Math.atan2(2 * xy, xx - yy) / 2) * 180) / Math.PI,
  };
}

/**
 * The larger of a place's two standard deviations.
 * @param {Covariance} covariance
 */
export const largestSd = (covariance) => ellipse95(covariance).long / SURE;
