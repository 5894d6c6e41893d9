/** What this browser remembers for the person who uses it. */

const PREFIX = 'tapeproof.';

/** Every setting with its value when nothing was chosen. */
const DEFAULTS = Object.freeze({
  who: '',
  theme: 'system',
  expectation: 'by role',
  role: '',
  tapeId: '',
  method: 'hook to mark',
  tapeClass: 'II',
  graduation: '1/16 in',
  unit: 'in',
  surfaces: '{}',
  paper: 'letter',
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

/** What one does here, and the word for it; it says what is shown before a reading is typed. */
export const ROLES = Object.freeze([
  ['', 'not said'],
  ['installer', 'installer: I tape what gets cut'],
  ['salesperson', 'salesperson: first visit'],
  ['estimator', 'estimator: I never saw the room'],
]);
const SHOWN_TO = new Set(['salesperson', 'estimator']);

/** Whether the reading pad keeps what the photos expect to itself until the reading is in. */
export function padIsBlind() {
  const chosen = setting('expectation');
  return chosen === 'hidden' || (chosen !== 'shown' && !SHOWN_TO.has(setting('role')));
}

/** Whether drawing and table keep it to themselves too: who tapes what gets cut reads it nowhere. */
export function wallIsBlind() {
  return padIsBlind() && setting('role') === 'installer';
}

/** The name under which changes are recorded. */
export function whoIsHere() {
  return setting('who').trim() || 'someone';
}
