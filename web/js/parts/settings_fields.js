/** Shows fields and rows of a plan's settings over the object that they change. */
import { field, textInput, tick } from '../page/field.js';
import { button, el, fill, listen } from '../page/dom.js';

/** @typedef {import('./plan_fields.js').Field} Field */
/** @typedef {import('./plan_fields.js').Rows} Rows */

/**
 * What every field needs of the form that it is in.
 * @typedef {object} Form
 * @property {() => void} changed
 * @property {AbortSignal} signal
 */

const EDGES = ['top', 'left', 'right', 'bottom'];

/**
 * The controls of one object.
 * @param {Field[]} fields
 * @param {Record<string, any>} owner
 * @param {string} path of the owner in the settings
 * @param {string[]} sizes names of taped sizes
 * @param {Form} form
 */
export function fieldGrid(fields, owner, path, sizes, form) {
  const has = (/** @type {Field} */ one) =>
    !one.of || one.of.includes(owner.kind ?? '') || valueAt(owner, one.key) !== undefined;
  return el(
    'div',
    { class: 'grid' },
    ...fields.filter(has).map((one) => control(one, owner, path, sizes, form)),
  );
}

/**
 * Several things of one kind, each in a frame of its own, added and taken away.
 * @param {Rows} rows
 * @param {Record<string, any>} owner
 * @param {string} path
 * @param {string[]} sizes
 * @param {Form} form
 */
export function rowList(rows, owner, path, sizes, form) {
  const place = el('div', { class: 'rows' });
  const article = /^[aeiou]/.test(rows.one) ? 'an' : 'a';
  const add = button(`Add ${article} ${rows.one}`, added, form.signal);
  const count = el('span', { class: 'quiet-text' });
  const fold = el('details', {}, el('summary', {}, rows.title, ' ', count), place, add);

  function show() {
    const list = owner[rows.key] ?? [];
    count.textContent = list.length ? `${list.length}` : 'none';
    fill(place, ...list.map((/** @type {any} */ one, /** @type {number} */ index) => row(one, index)));
  }
  /** @param {Record<string, any>} one @param {number} index */
  function row(one, index) {
    const legend = `${rows.one} ${index + 1}${one.name ? `: ${one.name}` : ''}`;
    const { kind } = one;
    const changed = () => {
      form.changed();
      if (one.kind !== kind) otherKind(index);
    };
    return el(
      'fieldset',
      {},
      el('legend', {}, legend),
      fieldGrid(rows.fields, one, `${path}.${rows.key}[${index}]`, sizes, { ...form, changed }),
      button('Remove', () => removed(index), form.signal, { class: 'quiet', 'aria-label': `Remove ${legend}` }),
    );
  }
  /** What another kind of thing has is shown. @param {number} index */
  function otherKind(index) {
    show();
    const kind = `[data-field="${path}.${rows.key}[${index}].kind"]`;
    /** @type {HTMLElement | null} */ (place.querySelector(kind))?.focus();
  }
  function added() {
    owner[rows.key] = [...(owner[rows.key] ?? []), structuredClone(rows.blank)];
    form.changed();
    show();
    /** @type {HTMLElement | null} */ (place.lastElementChild?.querySelector('input, select') ?? null)?.focus();
  }
  /** @param {number} index */
  function removed(index) {
    owner[rows.key] = owner[rows.key].filter((/** @type {any} */ _, /** @type {number} */ at) => at !== index);
    form.changed();
    show();
    add.focus();
  }
  show();
  return fold;
}

/** @param {Field} one @param {any} owner @param {string} path @param {string[]} sizes @param {Form} form */
function control(one, owner, path, sizes, form) {
  const at = `${path}.${one.key.replace(/\.(\d+)/g, '[$1]')}`;
  const value = valueAt(owner, one.key);
  const set = (/** @type {any} */ next) => {
    setAt(owner, one.key, next);
    form.changed();
  };
  if (one.kind === 'flag') return tick(one.label, value === true, set, form.signal, at);
  if (one.kind === 'edges') return edges(one, value ?? [], set, at, form.signal);
  if (one.kind === 'choice' || one.kind === 'taped') {
    return chosen(one, value ?? '', sizes, set, at, form.signal);
  }
  const input = textInput(value ?? '', { maxlength: one.kind === 'length' ? 64 : 200 });
  listen(input, 'input', () => set(input.value.trim() || undefined), form.signal);
  return field(one.label, input, { field: at, hint: one.hint });
}

/**
 * @param {Field} one
 * @param {string} value
 * @param {string[]} sizes
 * @param {(next: any) => void} set
 * @param {string} at
 * @param {AbortSignal} signal
 */
function chosen(one, value, sizes, set, at, signal) {
  const names = sizes.includes(value) || !value ? sizes : [value, ...sizes];
  /** @type {[string, string][]} */
  const options = one.options ?? [['', '–'], ...names.map((name) => /** @type {[string, string]} */ ([name, name]))];
  // A value that stands for the first choice, written out, is the same choice.
  const known = options.some(([key]) => key === value) ? value : '';
  const select = el(
    'select',
    {},
    ...options.map(([key, words]) => el('option', { value: key, selected: key === known }, words)),
  );
  listen(select, 'change', () => set(select.value || undefined), signal);
  return field(one.label, select, { field: at, hint: one.hint });
}

/**
 * @param {Field} one
 * @param {string[]} value
 * @param {(next: any) => void} set
 * @param {string} at
 * @param {AbortSignal} signal
 */
function edges(one, value, set, at, signal) {
  const kept = new Set(value);
  const boxes = EDGES.map((edge) =>
    tick(
      edge,
      kept.has(edge),
      (on) => {
        if (on) kept.add(edge);
        else kept.delete(edge);
        set(EDGES.filter((name) => kept.has(name)));
      },
      signal,
      at,
    ),
  );
  const attributes = { class: 'field edges', role: 'group', 'aria-label': one.label };
  return el('div', attributes, el('span', {}, one.label), ...boxes);
}

/** @param {any} owner @param {string} key */
function valueAt(owner, key) {
  let value = owner;
  for (const part of key.split('.')) value = value?.[part];
  return value;
}

/**
 * Sets what is at a path; what is left empty by it is taken away, a pair keeps both its places.
 * @param {any} owner
 * @param {string} key
 * @param {any} next undefined takes away
 */
export function setAt(owner, key, next) {
  const [first, ...rest] = key.split('.');
  if (rest.length === 0) {
    if (next === undefined) delete owner[first];
    else owner[first] = next;
    return;
  }
  if (/^\d+$/.test(rest[0])) {
    const pair = [...(owner[first] ?? ['', ''])];
    pair[Number(rest[0])] = next ?? '';
    if (pair.some((side) => side !== '')) owner[first] = pair;
    else delete owner[first];
    return;
  }
  const child = { ...(owner[first] ?? {}) };
  setAt(child, rest.join('.'), next);
  if (Object.keys(child).length) owner[first] = child;
  else delete owner[first];
}
