/** The reading pad: one tape reading of one size, its echo, and what came of it. */
import { Problem, write } from '../api.js';
import { asksForLook } from '../drawing/status_shape.js';
import { standingReadings } from '../drawing/words.js';
import { button, el, fill, listen } from '../page/dom.js';
import { PadForm, padHead } from './pad_form.js';
import { readingList } from './reading_list.js';
import { nextSize } from './taping_order.js';
import { setting } from '../state/settings.js';
import { dropUnsent, keepUnsent, unsent } from '../state/unsent.js';
import { figures, verdict } from './verdict.js';

/** @typedef {import('../state/job_facts.js').JobFacts} JobFacts */

const ECHO_AFTER_MS = 120;

export class ReadingPad {
  /**
   * @param {JobFacts} facts
   * @param {AbortSignal} signal
   */
  constructor(facts, signal) {
    this.facts = facts;
    this.dialog = el('dialog', { class: 'pad', 'aria-labelledby': 'pad-title' });
    document.body.append(this.dialog);
    listen(this.dialog, 'close', () => this.#closed(), signal);
    signal.addEventListener('abort', () => this.dialog.remove(), { once: true });
    this.life = new AbortController();
    this.wallId = '';
    this.name = '';
    /** @type {string | null} */
    this.replaces = null;
    /** The reading's own id: the same until its text changes, so that it is kept once. */
    this.readingId = '';
    /** @type {PadForm | null} */
    this.form = null;
    /** @type {Element | null} */
    this.opener = null;
    this.openedIn = -1;
    this.unsentChanged = false;
  }

  /**
   * @param {string} wallId
   * @param {string} name of the size
   * @param {string | null} [replaces] the id of the reading that the new one takes the place of
   */
  show(wallId, name, replaces = null) {
    this.life.abort();
    this.life = new AbortController();
    Object.assign(this, { wallId, name, replaces, readingId: '' });
    const waiting = unsent(wallId, name);
    if (waiting) {
      const standing = standingReadings(this.#wall.facts, name).map(({ id }) => id);
      this.replaces = standing.find((id) => id === waiting.replaces) ?? null;
    }
    if (!this.dialog.open) {
      this.opener = document.activeElement;
      this.openedIn = OPENED_IN.findIndex((place) => this.opener?.closest(place));
    }
    const { facts, report } = this.#wall;
    const doing = {
      typed: () => this.#typed(),
      keep: () => void this.#keep(),
      retake: (/** @type {string} */ id) => this.show(wallId, name, id),
      close: () => this.dialog.close(),
    };
    const form = new PadForm(
      { wall: facts, report, name, size: this.#size, replaces: this.replaces },
      doing,
      this.life.signal,
    );
    this.form = form;
    if (waiting) {
      form.restore(waiting);
      this.readingId = waiting.id;
      void this.#echo();
    }
    fill(this.dialog, form.form);
    if (!this.dialog.open) this.dialog.showModal();
    form.field.focus();
  }

  get #wall() {
    const state = this.facts.walls.get(this.wallId);
    if (!state) throw new Error(`No wall ${this.wallId} is loaded.`);
    return state;
  }

  get #size() {
    return this.#wall.report?.dimensions.find((size) => size.name === this.name) ?? null;
  }

  /** What a number without a unit is in this job. */
  get #bareUnit() {
    return this.facts.job?.bare_unit ?? null;
  }

  #typed() {
    clearTimeout(this.echoTimer);
    this.readingId = '';
    this.echoTimer = setTimeout(() => void this.#echo(), ECHO_AFTER_MS);
  }

  async #echo() {
    const form = this.form;
    if (!form) return;
    const bare = this.#bareUnit;
    const text = form.text(bare);
    const heard = text ? await parsed(text, bare) : { said: '', refused: false };
    if (heard && form === this.form && form.text(bare) === text) form.sayEcho(heard.said, heard.refused);
  }

  async #keep() {
    const form = this.form;
    if (!form) return;
    const value = form.text(this.#bareUnit);
    if (!value) {
      form.fail('Type the reading first, as it stands on the tape.');
      return;
    }
    form.submit.disabled = true;
    this.readingId ||= crypto.randomUUID();
    const { name, replaces } = this;
    const reading = {
      id: this.readingId,
      dimension: name,
      value,
      who: form.how.remember(),
      replaces,
      instrument: form.how.instrument,
      surface: form.how.surfaceFact,
    };
    try {
      await this.facts.change(this.wallId, 'POST', `/walls/${this.wallId}/readings`, reading);
      this.#settle(name);
      this.#showVerdict(value, reading.id);
    } catch (error) {
      if (error instanceof Problem && !error.status) this.#putBy(name, form.draft(reading.id, replaces));
      if (error instanceof Problem) form.fail(error.inField, error.field);
      else form.fail(String(error));
    } finally {
      form.submit.disabled = false;
    }
  }

  /** Keeps a reading in this browser for want of a connection. */
  #putBy(/** @type {string} */ name, /** @type {import('../state/unsent.js').Unsent} */ draft) {
    keepUnsent(this.wallId, name, draft);
    this.unsentChanged = true;
  }

  /** What may have waited in this browser is kept by the service now. @param {string} name */
  #settle(name) {
    this.unsentChanged ||= unsent(this.wallId, name) !== null;
    dropUnsent(this.wallId, name);
  }

  /** @param {string} value @param {string} kept the reading's id */
  #showVerdict(value, kept) {
    const { facts, report } = this.#wall;
    const size = this.#size;
    const { signal } = this.life;
    const next = nextSize(this.#wall, this.name);
    const close = () => this.dialog.close();
    const retake = size !== null && report !== null && asksForLook(size, report.gate);
    const again = button('Take it again', () => this.show(this.wallId, this.name, kept), signal);
    const go = next
      ? button(`Next: ${next}`, () => this.show(this.wallId, next), signal)
      : button('Done', close, signal);
    (retake ? again : go).classList.add('primary');
    const said = el('div', { 'aria-live': 'assertive' });
    const inside = [
      padHead(facts, this.name, close, signal),
      el('p', { class: 'pad-kept' }, `${value} is kept.`),
      said,
      standingReadings(facts, this.name).length > 1 ? readingList(facts, report, this.name) : null,
      el('div', { class: 'pad-actions' }, again, next ? button('Done', close, signal) : null, go),
      setting('who').trim() ? null : nameAsked(),
      size && !size.checked ? surfaceAsked(facts, this.name) : null,
      size ? figures(size, report) : null,
    ];
    this.form = null;
    fill(this.dialog, el('div', { class: 'pad-form' }, ...inside));
    const judged = size && report ? verdict(size, report) : el('p', {}, 'Nothing can be judged yet.');
    fill(said, judged);
    (retake ? again : go).focus();
  }

  /**
   * Where to go on, where the pad was opened: at this size, else at the first one there, else in the table.
   * A size of this name may stand on another wall as well.
   */
  #drawnAnew() {
    const wall = `#wall-${CSS.escape(this.wallId)}`;
    const size = `[data-size="${CSS.escape(this.name)}"]`;
    const board = `#board [data-wall="${CSS.escape(this.wallId)}"] .size`;
    const there = [
      [`${board}${size}`, board],
      [`#above .size${size}`, '#above .size'],
      ['#alcove .looks button'],
      [`${wall} .tape-next button`],
    ];
    const wanted = [...(there[this.openedIn] ?? []), `${wall} button${size}`];
    return wanted.map((one) => document.querySelector(one)).find(Boolean);
  }

  #closed() {
    clearTimeout(this.echoTimer);
    this.life.abort();
    this.form = null;
    if (this.unsentChanged) this.facts.dispatchEvent(new CustomEvent('unsent'));
    this.unsentChanged = false;
    const opener = this.opener?.isConnected ? this.opener : this.#drawnAnew();
    if (opener instanceof HTMLElement || opener instanceof SVGElement) opener.focus();
  }
}

/** Where on the page the pad is opened from; what is there is drawn anew with each reading. */
const OPENED_IN = ['#board', '#above', '#alcove', '.tape-next'];

/** Sizes that end at the face of a wall, where a step of tile can hide a slip. */
const TO_FACE = new Set(['offset', 'width', 'diagonal', 'fixture from corner']);

/** Where nobody said who holds the tape. */
function nameAsked() {
  const words = 'Say who tapes, in the settings or on the next pad: a reading by nobody is no second person’s.';
  return el('p', { class: 'quiet-text' }, words);
}

/**
 * Where nobody said what the tape touched, that would sharpen the check.
 * @param {import('../types.js').WallFacts} wall
 * @param {string} name
 */
function surfaceAsked(wall, name) {
  const size = wall.dimensions.find((other) => other.name === name);
  const role = size?.role ?? wall.known_by_name?.[name]?.role ?? '';
  const told = size?.surface || standingReadings(wall, name).some(({ surface }) => surface);
  if (told || !TO_FACE.has(role)) return null;
  const words = 'Say which surface the tape touched, tile or bare wall: untold, a step of tile hides a slip.';
  return el('p', { class: 'quiet-text' }, words);
}

/**
 * The length as the service understands it, or what is wrong with it; null where the service is not
 * reached, for then what keeps the reading says so.
 * @param {string} text
 * @param {string | null} bareUnit
 */
async function parsed(text, bareUnit) {
  try {
    const { echo } = await write('POST', '/lengths/parse', { text, bare_unit: bareUnit, signed: false });
    return { said: String(echo), refused: false };
  } catch (error) {
    if (error instanceof Problem) return error.status ? { said: error.text, refused: true } : null;
    throw error;
  }
}
