/** Widths of an end sheet taped from the face of the hung back panel: they take the place of build-up. */
import { choice, field, submits, textInput } from '../page/field.js';
import { asksForLook } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';
import { setting } from '../state/settings.js';
import { INSTRUMENT_OF, METHODS } from '../readings/choices.js';
import { colleague } from '../readings/verdict.js';
import { asSent } from '../readings/typed_length.js';

/** A bare number is in the unit that the reading pad is set to, too. */
const HINTS = Object.freeze({
  in: 'such as 11 1/8',
  'ft in': 'such as 11 1/8',
  mm: 'in mm, such as 283',
  cm: 'in cm, such as 28.3',
  m: 'in m, such as 0.283',
});

/**
 * @typedef {{down: string, who: string, method: string}} Hung the reading that was kept here last
 */

/**
 * @param {import('../state/job_facts.js').WallState} wall an end wall
 * @param {string[]} heights below the level line, at which the corner is taped
 * @param {Hung | null} last
 * @param {{asHung: (panel: string, body: any, form: HTMLElement) => Promise<void>}} doing
 * @param {AbortSignal} signal
 */
export function asHungForm({ facts, report }, heights, last, doing, signal) {
  if (heights.length === 0) return null;
  const key = facts.name;
  const unit = /** @type {keyof typeof HINTS} */ (setting('unit'));
  const taken = standing(facts.readings);
  /** @type {[string, string][]} */
  const options = heights.map((down) => [down, `${down} in below the level line`]);
  const doubted = (/** @type {string} */ at) => inDoubt(report, taken, at);
  const next = last && !doubted(last.down) ? heights[heights.indexOf(last.down) + 1] : last?.down;
  const down = choice(options, next ?? heights[0]);
  const value = textInput('', { name: 'hung-value', inputmode: 'text', maxlength: 64 });
  const who = textInput(last?.who ?? setting('who'), { name: 'hung-who', maxlength: 200 });
  const method = choice(METHODS, last?.method ?? setting('method'));
  const form = el(
    'form',
    { 'aria-label': `Widths of the ${key.replace('-', ' ')} sheet from the hung back panel`, novalidate: true },
    el(
      'p',
      { class: 'quiet-text' },
      'Plumb line to the face of the hung back panel. The sheet is then cut by this, not by the wall ',
      'and a computed build-up. Each height wants two people or two methods.',
    ),
    el(
      'div',
      { class: 'pair' },
      field('Height', down, { field: 'down' }),
      field('Reading', value, { field: 'value', hint: HINTS[unit] }),
      field('Taped by', who, { field: 'who' }),
      field('How', method, { field: 'instrument' }),
    ),
    el('button', { type: 'submit' }, 'Keep reading'),
    last
      ? el(
          'p',
          { role: 'status' },
          el('b', {}, `Kept at ${last.down}. `),
          cameOf(report, last.down),
          doubted(last.down) ? ' The next one at this height takes its place.' : null,
        )
      : null,
    taken.length
      ? el(
          'ul',
          {},
          ...taken.map((one) => el('li', {}, `${one.dimension}: ${one.value}, ${one.who ?? 'nobody known'}`)),
        )
      : null,
  );
  submits(
    form,
    () => {
      if (!value.value.trim()) return ['value', 'Write what the tape says.'];
      return who.value.trim() ? null : ['who', 'Write who taped it.'];
    },
    () => {
      const how = /** @type {keyof typeof INSTRUMENT_OF} */ (method.value);
      const instrument = { kind: INSTRUMENT_OF[how], method: how };
      const read = asSent(value.value, unit, facts.bare_unit ?? null);
      const replaces = doubted(down.value)?.id ?? null;
      const said = { down: down.value, value: read, who: who.value.trim(), instrument, replaces };
      void doing.asHung(key, { id: crypto.randomUUID(), ...said }, form);
    },
    signal,
  );
  return el('details', { open: last !== null }, el('summary', {}, 'Tape from the hung back panel'), form);
}

/**
 * The one reading at a height that does not fit: it is taken again, and another beside it would not mend it.
 * @param {import('../types.js').Report | null} report
 * @param {any[]} taken
 * @param {string} down
 */
function inDoubt(report, taken, down) {
  const size = report?.dimensions.find(({ name }) => name === `hung ${down}`);
  const own = taken.filter((one) => one.dimension === `hung ${down}`);
  return size && report && asksForLook(size, report.gate) && own.length === 1 ? own[0] : null;
}

/** What came of a reading, at once. @param {import('../types.js').Report | null} report @param {string} down */
function cameOf(report, down) {
  const size = report?.dimensions.find(({ name }) => name === `hung ${down}`);
  return size && report ? colleague(size, report) : '';
}

/** @param {any[]} readings @returns {any[]} those of hung sizes that no other takes the place of */
function standing(readings) {
  const replaced = new Set(readings.map((one) => one.replaces));
  return readings.filter((one) => one.dimension.startsWith('hung ') && !replaced.has(one.id));
}
