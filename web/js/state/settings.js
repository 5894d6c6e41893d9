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
  tolerance: '',
  unit: 'in',
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

/**
 * The wall of a job that was looked at last here, by its id, or `all`; until the tab is closed.
 * @param {string} job
 */
export const wallLastSeen = (job) => sessionStorage.getItem(`${PREFIX}wall.${job}`);

/** @param {string} job @param {string} wall */
export const keepWallSeen = (job, wall) => sessionStorage.setItem(`${PREFIX}wall.${job}`, wall);

/** What one does here, and the word for it; it says what is shown before a reading is typed. */
export const ROLES = Object.freeze([
  ['', 'not said'],
  ['installer', 'installer: I tape what gets cut'],
  ['salesperson', 'salesperson: first visit'],
  ['estimator', 'estimator: I never saw the room'],
]);
const SHOWN_TO = new Set(['salesperson', 'estimator']);

/** Where a page tells what the photos expect of a size that is not taped yet. */
export const EXPECTATIONS = Object.freeze([
  ['hidden', 'nowhere, until my reading is in'],
  ['pad', 'not while I type a reading'],
  ['shown', 'everywhere'],
]);

/** The one that holds: as chosen, else by what one does here. */
export function expectationShown() {
  const chosen = setting('expectation');
  if (EXPECTATIONS.some(([value]) => value === chosen)) return chosen;
  if (SHOWN_TO.has(setting('role'))) return 'shown';
  return setting('role') === 'installer' ? 'hidden' : 'pad';
}

/** Whether the reading pad keeps what the photos expect to itself until the reading is in. */
export const padIsBlind = () => expectationShown() !== 'shown';

/** Whether every page and paper does, and the service does not even send it. */
export const allIsBlind = () => expectationShown() === 'hidden';

/**
 * A path of the service, asking for no more than is to be seen here.
 * @param {string} path
 */
export function asSeen(path) {
  if (!allIsBlind()) return path;
  return `${path}${path.includes('?') ? '&' : '?'}expectation=hidden`;
}

/** The name under which changes are recorded. */
export function whoIsHere() {
  return setting('who').trim() || 'someone';
}
