/** Widths of an end sheet taped from the face of the hung back panel: they take the place of build-up. */
import { choice, field, submits, textInput } from '../page/field.js';
import { el } from '../page/dom.js';
import { setting } from '../state/settings.js';
import { INSTRUMENT_OF, METHODS } from '../readings/choices.js';
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
 * @param {import('../state/job_facts.js').WallState} wall an end wall
 * @param {string[]} heights below the level line, at which the corner is taped
 * @param {{asHung: (panel: string, body: any, form: HTMLElement) => Promise<void>}} doing
 * @param {AbortSignal} signal
 */
export function asHungForm({ facts }, heights, doing, signal) {
  if (heights.length === 0) return null;
  const key = facts.name;
  const unit = /** @type {keyof typeof HINTS} */ (setting('unit'));
  const taken = standing(facts.readings);
  /** @type {[string, string][]} */
  const options = heights.map((down) => [down, `${down} in below the level line`]);
  const down = choice(options, heights[0]);
  const value = textInput('', { name: 'hung-value', inputmode: 'text', maxlength: 64 });
  const who = textInput(setting('who'), { name: 'hung-who', maxlength: 200 });
  const method = choice(METHODS, setting('method'));
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
      const said = { down: down.value, value: read, who: who.value.trim(), instrument };
      void doing.asHung(key, { id: crypto.randomUUID(), ...said }, form);
    },
    signal,
  );
  return el('details', {}, el('summary', {}, 'Tape from the hung back panel'), form);
}

/** @param {any[]} readings @returns {any[]} those of hung sizes that no other takes the place of */
function standing(readings) {
  const replaced = new Set(readings.map((one) => one.replaces));
  return readings.filter((one) => one.dimension.startsWith('hung ') && !replaced.has(one.id));
}
