/** Releasing one sheet: who looked at what nothing checks, who releases it, and taking that back. */
import { field, submits, textInput, tick } from '../page/field.js';
import { button, el, listen } from '../page/dom.js';

/** @typedef {{first: string, second: string, who: string}} People */
/** @typedef {{what: string, value: string, first: string | null, second: string | null,
 *   photo: string | null, counts: boolean}} Look */

/**
 * @param {string} key the panel
 * @param {any} release
 * @param {[string, string][]} photos id and name of every photo of the job
 * @param {People} people as they were typed last, on whichever sheet
 * @param {{release: (panel: string, body: any) => Promise<void>,
 *   takeBack: (panel: string) => Promise<void>}} doing
 * @param {AbortSignal} signal
 */
export function releaseForm(key, release, photos, people, doing, signal) {
  if (release.state === 'released') {
    return el('div', { class: 'panel-actions' }, takeBackButton(key, doing, signal));
  }
  const waiting = release.looks.filter((/** @type {Look} */ look) => !look.counts);
  const sizesHeld = release.held.length > waiting.length;
  const [first, second, who] = /** @type {(keyof People)[]} */ (['first', 'second', 'who']).map((name) => {
    const input = textInput(people[name], { name, maxlength: 200 });
    listen(input, 'input', () => (people[name] = input.value), signal);
    return input;
  });
  const rows = waiting.map((/** @type {Look} */ look) => lookRow(look, photos, signal));
  const form = el(
    'form',
    { class: 'release', 'aria-label': `Release of the ${key.replace('-', ' ')} sheet`, novalidate: true },
    waiting.length
      ? el(
          'fieldset',
          {},
          el('legend', {}, 'Nothing checks these: a second person looks'),
          ...rows.map((/** @type {any} */ row) => row.shown),
          el(
            'div',
            { class: 'pair' },
            field('Stated by', first, { field: 'first' }),
            field('Looked at by', second, { field: 'second', hint: 'another person' }),
          ),
        )
      : null,
    field('Released by', who, { field: 'who' }),
    el(
      'div',
      { class: 'panel-actions' },
      el(
        'button',
        { type: 'submit', class: 'primary', disabled: sizesHeld, 'data-release': key },
        'Release for cutting',
      ),
      sizesHeld ? el('span', { class: 'quiet-text' }, 'Its sizes come first.') : null,
    ),
  );
  submits(
    form,
    () => missing(rows, first, second, who),
    () => void doing.release(key, asked(rows, first, second, who)),
    signal,
  );
  return form;
}

/** Things that were looked at already, with who vouches for them. */
export function looked(/** @type {Look[]} */ looks) {
  const done = looks.filter((look) => look.counts);
  if (done.length === 0) return null;
  return el(
    'ul',
    { class: 'looked' },
    ...done.map((look) =>
      el(
        'li',
        {},
        el('b', {}, look.what),
        `: ${look.value} (${look.photo ? 'a photo with the tape in it' : `${look.first} and ${look.second}`})`,
      ),
    ),
  );
}

/**
 * The sheets that are released while no plan can be made; nothing where there are none.
 * @param {Record<string, string>} released letter by panel
 * @param {(panel: string) => Promise<void>} takeBack
 * @param {AbortSignal} signal
 */
export function stillReleased(released, takeBack, signal) {
  const rows = Object.entries(released);
  if (rows.length === 0) return null;
  return el(
    'section',
    { class: 'box', 'aria-label': 'Released sheets' },
    el('h2', {}, 'Still released for cutting'),
    ...rows.map(([key, letter]) =>
      el(
        'div',
        { class: 'panel-actions' },
        el('span', {}, `${key.replace('-', ' ')} sheet, revision ${letter}`),
        takeBackButton(key, { takeBack }, signal),
      ),
    ),
  );
}

/** @param {string} key @param {any} doing @param {AbortSignal} signal */
const takeBackButton = (key, doing, signal) =>
  button('Take release back', () => void doing.takeBack(key), signal, { 'data-take-back': key });

/** @param {Look} look @param {[string, string][]} photos @param {AbortSignal} signal */
function lookRow(look, photos, signal) {
  const state = { look, on: false, photo: '' };
  const words = el('span', {}, el('b', {}, look.what), `: ${look.value}`);
  const box = tick(words, false, (on) => (state.on = on), signal, look.what);
  const select = el(
    'select',
    { 'aria-label': `Who or what vouches for ${look.what}` },
    el('option', { value: '' }, 'vouched for by two people'),
    ...photos.map(([id, name]) => el('option', { value: id }, `by the tape in photo ${name}`)),
  );
  listen(select, 'change', () => (state.photo = select.value), signal);
  const by = photos.length ? select : null;
  return Object.assign(state, { shown: el('div', { class: 'look-row' }, box, by) });
}

/** The first thing that is wrong, as the path of its control and words. */
function missing(
  /** @type {any[]} */ rows,
  /** @type {HTMLInputElement} */ first,
  /** @type {HTMLInputElement} */ second,
  /** @type {HTMLInputElement} */ who,
) {
  const people = rows.some((row) => !row.photo);
  const unseen = rows.find((row) => !row.on);
  const name = (/** @type {HTMLInputElement} */ input) => input.value.trim().toLowerCase();
  /** @type {[string, string] | null} */
  let fault = null;
  if (unseen) fault = [unseen.look.what, 'Look at it, and tick it.'];
  else if (people && !name(first)) fault = ['first', 'Write who stated these.'];
  else if (people && !name(second)) fault = ['second', 'Write who looked at them, or choose a photo.'];
  else if (people && name(first) === name(second)) {
    fault = ['second', `Someone other than ${first.value.trim()} must look.`];
  } else if (!name(who)) fault = ['who', 'Write who releases the sheet.'];
  return fault;
}

function asked(
  /** @type {any[]} */ rows,
  /** @type {HTMLInputElement} */ first,
  /** @type {HTMLInputElement} */ second,
  /** @type {HTMLInputElement} */ who,
) {
  const looks = rows.map(({ look, photo }) => ({
    what: look.what,
    value: look.value,
    ...(photo ? { photo } : { first: first.value.trim(), second: second.value.trim() }),
  }));
  return { who: who.value.trim(), looks };
}
