/** What holds a sheet's sizes, and for a conflict the form by which somebody else lets it stand. */
import { choice, field, submits, textInput } from '../page/field.js';
import { button, el } from '../page/dom.js';

/**
 * @typedef {object} Sized a row of the panel's sizes in panels.json
 * @property {string} name
 * @property {string} dimension
 * @property {string} why_not
 * @property {string} do
 */

/**
 * @param {any} panel a row of panels.json
 * @param {any} release
 * @param {import('../state/job_facts.js').WallState} wall
 * @param {string} job
 * @param {{override: (size: string, body: any, form: HTMLElement) => Promise<void>,
 *   undoOverride: (size: string) => Promise<void>}} doing
 * @param {AbortSignal} signal
 */
export function heldSizes(panel, release, wall, job, doing, signal) {
  const held = panel.sizes.filter((/** @type {Sized} */ size) => size.why_not);
  const stood = release.overrides.map((/** @type {any} */ one) =>
    el(
      'li',
      {},
      el('b', {}, one.dimension),
      ` overridden by ${one.who}: ${one.reason} `,
      button('Take override back', () => void doing.undoOverride(one.dimension), signal),
    ),
  );
  if (held.length === 0 && stood.length === 0) return null;
  return el(
    'details',
    { open: held.length > 0 && held.length <= 3 },
    el('summary', {}, held.length ? `Sizes in the way: ${held.length}` : 'Overridden sizes'),
    el(
      'ul',
      { class: 'held' },
      ...held.map((/** @type {Sized} */ size) => heldRow(size, wall, job, doing, signal)),
      ...stood,
    ),
  );
}

/** @param {Sized} size @param {any} wall @param {string} job @param {any} doing @param {AbortSignal} signal */
function heldRow(size, wall, job, doing, signal) {
  const conflict = /conflict|contradict/.test(size.why_not) && size.dimension;
  return el(
    'li',
    {},
    `${asTaped(size)}. `,
    size.do ? el('span', { class: 'quiet-text' }, `${sentence(size.do)} `) : null,
    el('a', { href: atSize(job, wall.facts.name, size.dimension) }, toWalls(size)),
    conflict ? overrideForm(size.dimension, wall, doing, signal) : null,
  );
}

/** @param {string} size @param {any} wall @param {any} doing @param {AbortSignal} signal */
function overrideForm(size, wall, doing, signal) {
  const replaced = new Set(wall.facts.readings.map((/** @type {any} */ one) => one.replaces));
  /** @type {[string, string][]} */
  const standing = wall.facts.readings
    .filter((/** @type {any} */ one) => one.dimension === size && !replaced.has(one.id))
    .map((/** @type {any} */ one) => [one.id, `${one.value} by ${one.who ?? 'nobody known'}`]);
  if (standing.length === 0) return null;
  const reading = choice(standing, standing[0][0]);
  const who = textInput('', { name: 'override-who', maxlength: 200 });
  const reason = textInput('', { name: 'override-reason', maxlength: 200 });
  const form = el(
    'form',
    { 'aria-label': `Override of ${size}`, novalidate: true },
    field('Reading that stands', reading, { field: 'reading' }),
    field('Let stand by', who, { field: 'who', hint: 'not the one who taped it' }),
    field('Reason', reason, { field: 'reason', hint: 'it prints on every page of this sheet' }),
    el('button', { type: 'submit' }, 'Override'),
  );
  submits(
    form,
    () => {
      if (!who.value.trim()) return ['who', 'Write who lets it stand.'];
      return reason.value.trim() ? null : ['reason', 'Write the reason.'];
    },
    () => {
      const body = { reading: reading.value, who: who.value.trim(), reason: reason.value.trim() };
      void doing.override(size, body, form);
    },
    signal,
  );
  return el('details', {}, el('summary', {}, `Let ${size} stand by override`), form);
}

/**
 * Where a size is taped.
 * @param {string} job @param {string} wall @param {string} size as its wall calls it; empty where that is not known
 */
export function atSize(job, wall, size) {
  const asked = size ? `&size=${encodeURIComponent(size)}` : '';
  return `/job.html?job=${encodeURIComponent(job)}&wall=${wall}${asked}`;
}

const sentence = (/** @type {string} */ text) => `${text[0].toUpperCase()}${text.slice(1)}.`;

/** What holds it, under the name that it has where it is taped and not in the plan. @param {Sized} size */
const asTaped = ({ name, dimension, why_not }) =>
  dimension ? why_not.replace(`${name}: `, `${dimension}: `) : why_not;

/** Where it is taped, by the name that it has there. @param {Sized} size */
const toWalls = ({ dimension }) => (dimension ? `To the walls: ${dimension}` : 'To the walls');
