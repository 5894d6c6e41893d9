/** Form fields: a label in the trade's words, a control, and room for the one thing that is wrong with it. */
import { el, listen } from './dom.js';

let made = 0;

/**
 * A labelled control; `data-field` is the path by which an error finds it.
 * @param {string} label
 * @param {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} control
 * @param {{hint?: string, field?: string}} [options]
 */
export function field(label, control, options = {}) {
  made += 1;
  const id = `field-${made}`;
  control.id = id;
  if (options.field) control.dataset.field = options.field;
  const hint = options.hint ? el('span', { class: 'quiet-text', id: `${id}-hint` }, options.hint) : null;
  if (hint) control.setAttribute('aria-describedby', hint.id);
  return labelled(label, control, hint);
}

/**
 * Words over a control that has an id.
 * @param {string} words
 * @param {HTMLElement} control
 * @param {...(Node | null)} below
 */
export const labelled = (words, control, ...below) =>
  el('div', { class: 'field' }, el('label', { for: control.id }, words), control, ...below);

/**
 * A labelled line of text with an id of its own.
 * @param {string} id
 * @param {string} words
 * @param {string} value
 * @param {string} [path] by which an error finds it
 * @param {Record<string, any>} [attributes]
 */
export function namedInput(id, words, value, path, attributes = {}) {
  const input = textInput(value, { id, 'data-field': path, ...attributes });
  return { input, wrap: labelled(words, input) };
}

/**
 * A labelled choice with an id of its own.
 * @param {string} id
 * @param {string} words
 * @param {[string, string][]} options value and words
 * @param {string} chosen
 * @param {string} [path] by which an error finds it
 */
export function namedChoice(id, words, options, chosen, path) {
  const input = choice(options, chosen);
  input.id = id;
  if (path) input.dataset.field = path;
  return { input, wrap: labelled(words, input) };
}

/** @param {string} value @param {Record<string, any>} [attributes] */
export const textInput = (value, attributes = {}) =>
  el('input', { type: 'text', autocomplete: 'off', value, ...attributes });

/**
 * @param {[string, string][]} options value and words
 * @param {string} chosen
 */
export function choice(options, chosen) {
  return el(
    'select',
    {},
    ...options.map(([value, words]) => el('option', { value, selected: value === chosen }, words)),
  );
}

/**
 * A box to tick, its words beside it.
 * @param {string | Node} words
 * @param {boolean} checked
 * @param {(on: boolean) => void} changed
 * @param {AbortSignal} signal
 * @param {string} [path]
 */
export function tick(words, checked, changed, signal, path) {
  const box = el('input', { type: 'checkbox', checked, 'data-field': path });
  listen(box, 'change', () => changed(box.checked), signal);
  return el('label', { class: 'check' }, box, el('span', {}, words));
}

/**
 * Shows what is wrong at the control that it is about, opens what hides it, and puts the focus there.
 * @param {HTMLElement} form
 * @param {string} path
 * @param {string} said
 * @returns {boolean} whether the form has such a control
 */
export function showFault(form, path, said) {
  clearFaults(form);
  const control = nearest(form, path);
  if (!control) return false;
  for (let fold = control.closest('details'); fold; fold = fold.parentElement?.closest('details') ?? null) {
    fold.open = true;
  }
  const id = `${control.id || 'control'}-fault`;
  const fault = el('span', { class: 'fault', id, role: 'alert' }, said);
  control.setAttribute('aria-invalid', 'true');
  control.setAttribute('aria-errormessage', id);
  (control.closest('.field') ?? control.closest('label') ?? control).append(fault);
  control.focus();
  control.scrollIntoView({ block: 'center' });
  return true;
}

/**
 * Sends a form once nothing in it is wrong, and else says what is, at its control.
 * @param {HTMLFormElement} form
 * @param {() => [string, string] | null} fault path of the control, and words; null: nothing is wrong
 * @param {() => void} send
 * @param {AbortSignal} signal
 */
export function submits(form, fault, send, signal) {
  listen(
    form,
    'submit',
    (/** @type {Event} */ event) => {
      event.preventDefault();
      clearFaults(form);
      const found = fault();
      if (found) showFault(form, ...found);
      else send();
    },
    signal,
  );
}

/** @param {HTMLElement} form */
export function clearFaults(form) {
  for (const old of form.querySelectorAll('.fault')) old.remove();
  for (const control of form.querySelectorAll('[aria-invalid]')) {
    control.removeAttribute('aria-invalid');
    control.removeAttribute('aria-errormessage');
  }
}

/** The control at the path, or the first one below it, or the one it lies below. */
function nearest(/** @type {HTMLElement} */ form, /** @type {string} */ path) {
  const controls = /** @type {HTMLElement[]} */ ([...form.querySelectorAll('[data-field]')]);
  const at = (/** @type {string} */ wanted) => controls.find((one) => one.dataset.field === wanted);
  const below = controls.find(
    (one) => one.dataset.field?.startsWith(`${path}.`) || one.dataset.field?.startsWith(`${path}[`),
  );
  for (let up = path; up; up = up.replace(/[.[][^.[]*$/, '')) {
    const found = at(up) ?? (up === path ? below : undefined);
    if (found) return found;
    if (!/[.[]/.test(up)) break;
  }
  return undefined;
}
