/** What this browser remembers for the person who uses it. */

const PREFIX = 'tapeproof.';

/** Every setting with its value when nothing was chosen. */
const DEFAULTS = Object.freeze({
  who: '',
  theme: 'system',
  expectation: 'hidden',
  tapeId: '',
  method: 'hook to mark',
  instrument: 'tape',
  tapeClass: 'II',
  unit: 'in',
  surfaces: '{}',
});

/** @typedef {keyof typeof DEFAULTS} SettingName */

/**
 * One setting, as text.
 * @param {SettingName} name
 * @returns {string}
 */
export function setting(name) {
  return localStorage.getItem(PREFIX + name) ?? DEFAULTS[name];
}

/**
 * Keeps one setting in this browser.
 * @param {SettingName} name
 * @param {string} value
 */
export function keepSetting(name, value) {
  localStorage.setItem(PREFIX + name, value);
}

/** The name under which changes are recorded. */
export function whoIsHere() {
  return setting('who').trim() || 'someone';
}
