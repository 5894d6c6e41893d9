/** Asked once on the walls' page: what one does here, for that says where photo sizes are told. */
import { button, el, fill, listen } from '../page/dom.js';
import { EXPECTATIONS, keepSetting, setting } from '../state/settings.js';

/** @type {[string, string][]} */
const ANSWERS = [
  ['installer', 'I tape what gets cut'],
  ['salesperson', 'First visit'],
  ['estimator', 'I estimate at the desk'],
];

/**
 * Until it is answered, here or in the settings.
 * @param {HTMLElement} place
 * @param {AbortSignal} signal
 */
export function askForRole(place, signal) {
  const show = () => fill(place, answered() ? null : question(signal));
  listen(globalThis, 'expectation', show, signal);
  show();
}

const answered = () =>
  Boolean(setting('role')) || EXPECTATIONS.some(([value]) => value === setting('expectation'));

/** @param {AbortSignal} signal */
function question(signal) {
  const chosen = (/** @type {string} */ role) => () => {
    keepSetting('role', role);
    globalThis.dispatchEvent(new Event('expectation'));
  };
  return el(
    'section',
    { class: 'box role-ask', 'aria-label': 'What you do here' },
    el(
      'p',
      {},
      el('b', {}, 'What do you do here? '),
      'Whoever tapes what gets cut sees what the photos say only once each reading is in.',
    ),
    el('div', { class: 'buttons' }, ...ANSWERS.map(([role, words]) => button(words, chosen(role), signal))),
  );
}
