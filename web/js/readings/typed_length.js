/**
 * What the pad's keys do to the text in its field: whole inches by digits, the fraction by one key.
 * The service reads the text; nothing here decides what it means.
 */

const FRACTION = /\s*(?<!\d)(\d{1,2}\/\d{1,2})"?$/u;

/** @typedef {'in' | 'ft in' | 'mm' | 'cm' | 'm'} PadUnit */

/**
 * @param {string} text
 * @param {string} digit
 */
export function withDigit(text, digit) {
  const fraction = FRACTION.exec(text);
  if (!fraction) return text === '0' ? digit : text + digit;
  const whole = text.slice(0, fraction.index);
  return `${whole}${digit} ${fraction[1]}`;
}

/**
 * @param {string} text
 * @param {string} fraction reduced, or empty to take it away
 */
export function withFraction(text, fraction) {
  const whole = text.replace(FRACTION, '').trimEnd();
  if (!fraction) return whole;
  return whole ? `${whole} ${fraction}` : fraction;
}

/** The foot key: what stands so far are feet. */
export function withFeet(/** @type {string} */ text) {
  const whole = text.replace(FRACTION, '').trim();
  return /^\d+$/u.test(whole) ? `${whole}' ` : text;
}

/** Takes away the fraction, else the last character. */
export function withoutLast(/** @type {string} */ text) {
  const fraction = FRACTION.exec(text);
  if (fraction) return text.slice(0, fraction.index).trimEnd();
  return text.trimEnd().slice(0, -1);
}

/**
 * The text as it is sent, so that it means one thing: with its unit, but for inches where the job
 * takes a bare number for those.
 * @param {string} text
 * @param {PadUnit} unit
 * @param {string | null} bareUnit the job's own
 */
export function asSent(text, unit, bareUnit) {
  const plain = text.trim();
  if (!plain || /[a-z"'′″]/iu.test(plain)) return plain;
  if (unit !== 'in' && unit !== 'ft in') return `${plain} ${unit}`;
  return bareUnit === 'in' ? plain : `${plain} in`;
}
