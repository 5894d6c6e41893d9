/** The job's own allowances: which differ from the shipped practice, why, and how they are changed. */
import { Problem } from '../api.js';
import { clearFaults, field, showFault, textInput } from '../page/field.js';
import { button, el, fill, listen } from '../page/dom.js';

/** @typedef {{key: string, value: string, unit: string, low: number, high: number, range: string, source: string,
 *   own: boolean, shipped: string}} Allowance */

/**
 * @param {import('../state/plan_work.js').PlanWork} work
 * @param {any} draft of the settings: its `practice` is the text
 * @param {{changed: () => void, signal: AbortSignal}} state
 */
export function practicePart(work, draft, state) {
  const list = el('div', {}, el('p', { class: 'quiet-text' }, 'Reading the allowances…'));
  const area = el('textarea', { rows: 8, spellcheck: false }, draft.practice ?? '');
  const text = el(
    'details',
    {},
    el('summary', {}, 'The job’s own practice as text'),
    field('As TOML', area, { field: 'practice', hint: 'only what differs from the shipped practice' }),
  );
  listen(
    area,
    'input',
    () => {
      draft.practice = area.value.trim() ? area.value : null;
      state.changed();
    },
    state.signal,
  );
  const fold = el('details', { class: 'practice' }, el('summary', {}, 'Shop practice'), list, text);
  const show = async () => {
    const found = await asked(work, draft.practice, null, list);
    if (found) fill(list, ...shown(found.allowances, set, state.signal));
  };
  /** @param {string} key @param {string | null} value @param {string} source @param {HTMLElement} form */
  const set = async (key, value, source, form) => {
    const found = await asked(work, draft.practice, { key, value, source }, form);
    if (!found) return;
    draft.practice = found.practice;
    area.value = found.practice ?? '';
    state.changed();
    fill(list, ...shown(found.allowances, set, state.signal));
    /** @type {HTMLElement | null} */ (list.querySelector('select'))?.focus();
  };
  listen(fold, 'toggle', () => void (fold.open && show()), state.signal);
  return fold;
}

/** What the service makes of the text, or its fault shown where it was typed. */
async function asked(
  /** @type {import('../state/plan_work.js').PlanWork} */ work,
  /** @type {string | null} */ practice,
  /** @type {any} */ change,
  /** @type {HTMLElement} */ place,
) {
  try {
    return await work.practice(practice, change);
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    if (!showFault(place, 'practice.value', error.message)) {
      fill(place, el('p', { class: 'fault', role: 'alert' }, error.message));
    }
    return null;
  }
}

/** @param {Allowance[]} all @param {any} set @param {AbortSignal} signal */
function shown(all, set, signal) {
  const own = all.filter((one) => one.own);
  const rows = own.map((one) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, words(one.key)),
      el('td', {}, `${one.value} ${one.unit}`),
      el('td', {}, `${one.shipped}`),
      el('td', {}, one.source),
      el(
        'td',
        {},
        button('Shipped again', () => set(one.key, null, '', document.body), signal, {
          'aria-label': `Shipped again: ${words(one.key)}`,
        }),
      ),
    ),
  );
  const heads = ['Allowance', 'Here', 'Shipped', 'Why'].map((word) => el('th', { scope: 'col' }, word));
  const table = el(
    'div',
    { class: 'table-scroll', tabindex: 0, role: 'region', 'aria-label': 'Allowances of this job' },
    el('table', {}, el('thead', {}, el('tr', {}, ...heads, el('td', {}))), el('tbody', {}, ...rows)),
  );
  return [own.length ? table : el('p', {}, 'As shipped, all of it.'), changeForm(all, set, signal)];
}

/** @param {Allowance[]} all @param {any} set @param {AbortSignal} signal */
function changeForm(all, set, signal) {
  const select = el('select', {}, ...all.map((one) => el('option', { value: one.key }, words(one.key))));
  const value = textInput('', { maxlength: 200 });
  const source = textInput('', { maxlength: 200 });
  const about = el('p', { class: 'quiet-text', role: 'status' });
  const tell = () => {
    const one = all.find(({ key }) => key === select.value);
    if (!one) return;
    value.value = one.value;
    about.textContent = `${one.range}; shipped ${one.shipped}: ${one.source}`;
  };
  const form = el(
    'div',
    { role: 'group', 'aria-label': 'Change an allowance' },
    el(
      'div',
      { class: 'grid' },
      field('Change', select),
      field('Value', value, { field: 'practice.value' }),
      field('Why', source, { hint: 'a source, or who decided' }),
    ),
    about,
    button(
      'Set for this job',
      () => {
        clearFaults(form);
        void set(select.value, value.value.trim() || null, source.value.trim(), form);
      },
      signal,
    ),
  );
  listen(select, 'change', tell, signal);
  tell();
  return form;
}

/** `joint.deck` in words: joint, deck. */
const words = (/** @type {string} */ key) => key.replace('.', ', ').replaceAll('_', ' ');
