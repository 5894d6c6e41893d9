/** One panel: its hand, whether it may be cut and why not, its papers, the button that releases it. */
import { address } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { button, el } from '../page/dom.js';

/**
 * @typedef {{state: 'shut' | 'open' | 'released' | 'reopened', revision: string | null,
 *   who: string | null, at: string | null, why_not: string[]}} Release
 */

const WORDS = Object.freeze({
  shut: 'not for cutting',
  open: 'ready to be released',
  released: 'released for cutting',
  reopened: 'a size has changed since release',
});
const SHAPES = Object.freeze({ shut: 'shut', open: 'photo only', released: 'open', reopened: 'conflicts' });

/**
 * @param {string} job
 * @param {any} panel a row of panels.json
 * @param {string} key
 * @param {Release} release
 * @param {{release: (panel: string) => void, takeBack: (panel: string) => void}} doing
 * @param {AbortSignal} signal
 */
export function panelCard(job, panel, key, release, doing, signal) {
  const paper = (/** @type {string} */ kind, /** @type {string} */ word) =>
    el('a', { class: 'button', href: address(`/jobs/${job}/documents/${key}.${kind}`) }, word);
  const about = panel.released ? '' : 'about ';
  return el(
    'section',
    { class: 'box panel-card', id: `panel-${key}`, tabindex: -1, 'aria-label': `${panel.wall} panel` },
    el('h2', {}, `${panel.wall[0].toUpperCase()}${panel.wall.slice(1)} panel`),
    el('p', {}, statusBadge(SHAPES[release.state], revised(release))),
    el(
      'p',
      {},
      handWords(panel),
      el('br'),
      `Cut from ${panel.sheet ? panel.sheet.name : 'no stock sheet that fits'}, `,
      `${about}${panel.box.width} × ${about}${panel.box.height} in.`,
    ),
    whyNot(release),
    el(
      'div',
      { class: 'panel-actions' },
      ...releaseButtons(key, release, doing, signal),
      paper('svg', 'Drawing (SVG)'),
      paper('dxf', 'Drawing (DXF)'),
    ),
    markTable(panel),
  );
}

/** @param {Release} release */
function revised({ state, revision, who }) {
  const by = revision ? ` · revision ${revision}${who ? ` by ${who}` : ''}` : '';
  return `${WORDS[state]}${by}`;
}

/** @param {any} panel */
function handWords(panel) {
  if (panel.hand === 'none') return 'No hand: both sides go into a corner.';
  const hand = panel.hand === 'left' ? 'Left' : 'Right';
  return `${hand} hand: finished outer edge on the ${panel.hand} as seen from the room.`;
}

/** @param {Release} release */
function whyNot({ state, why_not }) {
  if (why_not.length === 0 || state === 'open') return null;
  return el(
    'details',
    {},
    el('summary', {}, `What is in the way: ${why_not.length}`),
    el('ul', {}, ...why_not.map((why) => el('li', {}, why))),
  );
}

/** @param {string} key @param {Release} release @param {any} doing @param {AbortSignal} signal */
function releaseButtons(key, release, doing, signal) {
  if (release.state === 'released') return [button('Take release back', () => doing.takeBack(key), signal)];
  const shut = release.state !== 'open';
  return [
    button('Release for cutting', () => doing.release(key), signal, {
      class: 'primary',
      disabled: shut,
      'data-release': key,
    }),
    shut
      ? null
      : el(
          'p',
          { class: 'quiet-text' },
          'Top, hand and holes are checked by nothing here: let a second person look before you release.',
        ),
  ];
}

/** @param {any} panel */
function markTable(panel) {
  const rows = panel.marks.map((/** @type {any} */ mark) =>
    el(
      'tr',
      {},
      el('td', {}, String(mark.order)),
      el('td', {}, mark.edge),
      el('td', { class: 'number' }, mark.station),
      el('td', { class: 'number' }, mark.value),
      el('td', {}, mark.how),
    ),
  );
  const heads = ['', 'Edge', 'At', 'Value', 'How'].map((word) =>
    word ? el('th', { scope: 'col' }, word) : el('td', {}),
  );
  const head = el('thead', {}, el('tr', {}, ...heads));
  const note = panel.released ? 'Marks, as on the cutting sheet' : 'Marks: estimate, not for cutting';
  return el(
    'details',
    {},
    el('summary', {}, note),
    el(
      'div',
      {
        class: 'table-scroll',
        tabindex: 0,
        role: 'region',
        'aria-label': `Marks of the ${panel.wall} panel`,
      },
      el('table', {}, head, el('tbody', {}, ...rows)),
    ),
  );
}
