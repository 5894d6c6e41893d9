/** One panel: its hand, how its sheet stands, what is in the way, release, revisions, its drawings. */
import { address } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';
import { asHungForm } from './as_hung.js';
import { heldSizes } from './held_sizes.js';
import { looked, releaseForm } from './release_form.js';
import { changes, revisionList } from './revisions.js';

/**
 * @typedef {object} Release how a sheet stands, as the service says it
 * @property {'shut' | 'open' | 'released' | 'reopened'} state
 * @property {string | null} revision
 * @property {string | null} fingerprint
 * @property {string | null} who
 * @property {string | null} at
 * @property {boolean} may_release
 * @property {{what: string, why: string, do: string}[]} held
 * @property {import('./release_form.js').Look[]} looks
 * @property {any[]} overrides
 * @property {string[]} changes
 */

/**
 * @typedef {object} CardParts
 * @property {string} job
 * @property {any} panel a row of panels.json
 * @property {string} key
 * @property {Release} release
 * @property {import('../state/job_facts.js').WallState} wall
 * @property {[string, string][]} photos of the whole job: id and name
 * @property {import('./release_form.js').People} people
 * @property {string[]} heights at which the corner of an end wall is taped
 * @property {import('./as_hung.js').Hung | null} hung
 */

const WORDS = Object.freeze({
  shut: 'not for cutting',
  open: 'ready to be released',
  released: 'released for cutting',
  reopened: 'changed since its release',
});
const SHAPES = Object.freeze({ shut: 'shut', open: 'photo only', released: 'open', reopened: 'conflicts' });

/** @param {CardParts} parts @param {any} doing @param {AbortSignal} signal */
export function panelCard(parts, doing, signal) {
  const { panel, key, release, wall, job } = parts;
  const paper = (/** @type {string} */ kind, /** @type {string} */ word) =>
    el('a', { class: 'button', href: address(`/jobs/${job}/documents/${key}.${kind}`) }, word);
  const about = panel.released ? '' : 'about ';
  return el(
    'section',
    { class: 'box panel-card', id: `panel-${key}`, tabindex: -1, 'aria-label': `${panel.wall} panel` },
    el('h2', {}, `${panel.wall[0].toUpperCase()}${panel.wall.slice(1)} panel`),
    el('p', {}, statusBadge(SHAPES[shownState(release)], revised(release))),
    stamp(release),
    el(
      'p',
      {},
      handWords(panel),
      el('br'),
      `${cutFrom(panel)}, ${about}${panel.box.width} × ${about}${panel.box.height} in.`,
    ),
    changes(release),
    heldSizes(panel, release, wall, job, own(doing, key), signal),
    looked(release.looks),
    releaseForm(key, release, parts.photos, parts.people, doing, signal),
    panel.hand === 'none' ? null : asHungForm(wall, parts.heights, parts.hung, doing, signal),
    revisionList(release.revision, () => doing.revisions(key), signal),
    markTable(panel),
    el('div', { class: 'panel-actions' }, paper('svg', 'Drawing (SVG)'), paper('dxf', 'Drawing (DXF)')),
  );
}

/** A sheet whose sizes are all proved waits for people only. */
function shownState(/** @type {Release} */ release) {
  const looks = release.looks.filter((look) => !look.counts).length;
  return release.state === 'shut' && release.held.length === looks && looks > 0 ? 'open' : release.state;
}

/** @param {Release} release */
function revised(release) {
  const { revision, who, state } = release;
  const by = state === 'released' && revision ? ` · revision ${revision}${who ? ` by ${who}` : ''}` : '';
  return `${WORDS[shownState(release)]}${by}`;
}

/** @param {Release} release */
function stamp({ state, fingerprint, at }) {
  if (state !== 'released' || !fingerprint || !at) return null;
  const when = new Date(at).toLocaleString();
  return el('p', { class: 'quiet-text' }, `Locked ${when}, hash ${fingerprint.slice(0, 12)}.`);
}

/** @param {any} panel */
function handWords(panel) {
  if (panel.hand === 'none') return 'No hand: both sides go into a corner.';
  const hand = panel.hand === 'left' ? 'Left' : 'Right';
  return `${hand} hand: finished outer edge on the ${panel.hand} as seen from the room.`;
}

/** @param {any} panel */
function cutFrom(panel) {
  if (panel.sheet) return `Cut from ${panel.sheet.name}`;
  const seams = panel.seams ?? [];
  if (seams.length) return `Cut from ${seams.length + 1} pieces with ${seams[0].direction} seams`;
  return 'Cut from no stock sheet that fits';
}

/** The doings of one panel, without its name. */
function own(/** @type {any} */ doing, /** @type {string} */ key) {
  return {
    override: (/** @type {string} */ size, /** @type {any} */ body, /** @type {HTMLElement} */ form) =>
      doing.override(key, size, body, form),
    undoOverride: (/** @type {string} */ size) => doing.undoOverride(key, size),
  };
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
