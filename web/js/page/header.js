/** The head of every page: where one is, who one is, light or dark. */
import { button, el, fill, listen, svg } from './dom.js';
import { EXPECTATIONS, ROLES, expectationShown, keepSetting, setting } from '../state/settings.js';

const THEMES = /** @type {const} */ (['system', 'light', 'dark']);
const THEME_WORDS = { system: 'as the device', light: 'light', dark: 'dark' };

/**
 * @param {HTMLElement} place
 * @param {{job?: string | null, here: 'jobs' | 'job' | 'photo' | 'plan' | 'cards' | 'history'}} where
 * @param {AbortSignal} signal
 */
export function showHeader(place, where, signal) {
  const home = el(
    'a',
    { href: '/', class: 'brand' },
    el('span', { class: 'brand-hook', 'aria-hidden': 'true' }),
    el('span', { class: 'brand-word' }, 'Tapeproof'),
  );
  fill(place, home, navigation(where), settingsFold(signal));
}

/** @param {{job?: string | null, here: string}} where */
function navigation({ job, here }) {
  const query = job ? `?job=${encodeURIComponent(job)}` : '';
  const links = [
    ['jobs', 'Jobs', '/'],
    ...(job
      ? [
          ['job', 'Walls', `/job.html${query}`],
          ['plan', 'Plan', `/plan.html${query}`],
          ['cards', 'Cards', `/cards.html${query}`],
          ['history', 'History', `/history.html${query}`],
        ]
      : []),
  ];
  return el(
    'nav',
    { 'aria-label': 'Pages of this job' },
    el(
      'ul',
      {},
      ...links.map(([key, word, href]) =>
        el('li', {}, el('a', { href, 'aria-current': key === here ? 'page' : null }, word)),
      ),
    ),
  );
}

/** @param {AbortSignal} signal */
function settingsFold(signal) {
  const who = el('input', {
    id: 'who',
    type: 'text',
    autocomplete: 'name',
    maxlength: 60,
    value: setting('who'),
  });
  listen(who, 'change', () => keepSetting('who', who.value), signal);
  const theme = button(themeLabel(), () => turnTheme(theme), signal, { class: 'quiet' });
  const expected = el(
    'select',
    { id: 'expectation' },
    ...EXPECTATIONS.map(([value, word]) =>
      el('option', { value, selected: value === expectationShown() }, word),
    ),
  );
  const expectationChosen = () => {
    keepSetting('expectation', expected.value);
    globalThis.dispatchEvent(new Event('expectation'));
  };
  listen(expected, 'change', expectationChosen, signal);
  const role = el(
    'select',
    { id: 'role' },
    ...ROLES.map(([value, word]) => el('option', { value, selected: value === setting('role') }, word)),
  );
  const roleChosen = () => {
    keepSetting('role', role.value);
    keepSetting('expectation', 'by role');
    globalThis.dispatchEvent(new Event('expectation'));
  };
  const asChosen = () => {
    role.value = setting('role');
    expected.value = expectationShown();
  };
  listen(globalThis, 'expectation', asChosen, signal);
  listen(role, 'change', roleChosen, signal);
  return el(
    'details',
    { class: 'settings' },
    el('summary', {}, sliders(), el('span', { class: 'settings-word' }, 'Settings')),
    el(
      'div',
      { class: 'settings-body' },
      el('label', { for: 'who' }, 'Your name, written beside what you change'),
      who,
      el('label', { for: 'role' }, 'What you do here'),
      role,
      el('label', { for: 'expectation' }, 'What the photos expect of an untaped size is told'),
      expected,
      theme,
    ),
  );
}

function sliders() {
  const lines = svg('path', { d: 'M3 6 H21 M3 12 H21 M3 18 H21', class: 'slider-line' });
  const knobs = [
    [8, 6],
    [16, 12],
    [6, 18],
  ].map(([cx, cy]) => svg('circle', { cx, cy, r: 2.6, class: 'slider-knob' }));
  return svg(
    'svg',
    { viewBox: '0 0 24 24', width: 24, height: 24, 'aria-hidden': 'true', focusable: 'false' },
    lines,
    ...knobs,
  );
}

/** @param {HTMLButtonElement} control */
function turnTheme(control) {
  const now = THEMES.indexOf(/** @type {any} */ (setting('theme')));
  const next = THEMES[(now + 1) % THEMES.length];
  keepSetting('theme', next);
  if (next === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = next;
  control.textContent = themeLabel();
}

function themeLabel() {
  const theme = /** @type {keyof typeof THEME_WORDS} */ (setting('theme'));
  return `Colours: ${THEME_WORDS[theme] ?? THEME_WORDS.system}`;
}
