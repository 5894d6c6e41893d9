/** The keys of the reading pad: digits, foot, sixteenths, take back. */
import { button, el } from '../page/dom.js';
import { FRACTIONS } from './choices.js';
import { withDigit, withFeet, withFraction, withoutLast } from './typed_length.js';

const DIGITS = ['7', '8', '9', '4', '5', '6', '1', '2', '3'];

/**
 * @param {HTMLInputElement} field
 * @param {() => void} changed
 * @param {AbortSignal} signal
 * @returns {{whole: HTMLElement, fractions: HTMLElement}}
 */
export function padKeys(field, changed, signal) {
  const put = (/** @type {(text: string) => string} */ alter) => () => {
    field.value = alter(field.value);
    changed();
  };
  const whole = el(
    'div',
    { class: 'keys whole', role: 'group', 'aria-label': 'Whole inches' },
    ...DIGITS.map((digit) =>
      button(
        digit,
        put((text) => withDigit(text, digit)),
        signal,
      ),
    ),
    button('ft', put(withFeet), signal, { 'aria-label': 'feet' }),
    button(
      '0',
      put((text) => withDigit(text, '0')),
      signal,
    ),
    button('⌫', put(withoutLast), signal, { 'aria-label': 'take back the last' }),
    button(
      '.',
      put((text) => `${text}.`),
      signal,
      { 'aria-label': 'decimal point', class: 'point-key' },
    ),
  );
  const fractions = el(
    'div',
    { class: 'keys fractions', role: 'group', 'aria-label': 'Sixteenths' },
    // Not a second 0: beside the digits' own it would be taken for one.
    button(
      'even',
      put((text) => withFraction(text, '')),
      signal,
      { 'aria-label': 'even, no fraction' },
    ),
    ...FRACTIONS.map((fraction) =>
      button(
        stacked(fraction),
        put((text) => withFraction(text, fraction)),
        signal,
        { 'aria-label': fraction, 'data-fraction': fraction },
      ),
    ),
  );
  return { whole, fractions };
}

/** @param {string} fraction */
function stacked(fraction) {
  const [top, bottom] = fraction.split('/');
  return [el('sup', {}, top), '⁄', el('sub', {}, bottom)];
}
