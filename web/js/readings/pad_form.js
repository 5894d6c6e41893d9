/** The form of the reading pad: the field, its keys, and how the reading was taken. */
import { button, el, fill, listen } from '../page/dom.js';
import { namedChoice, showFault, submits } from '../page/field.js';
import { keepSetting, padIsBlind, setting } from '../state/settings.js';
import { standingReadings, wallWords } from '../drawing/words.js';
import { askedFor } from './role_words.js';
import { METRIC } from './choices.js';
import { HowTaken } from './how_taken.js';
import { padKeys } from './pad_keys.js';
import { readingList, surfaceWords } from './reading_list.js';
import { asSent } from './typed_length.js';
import { expectation } from './verdict.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').SizeReport} SizeReport */
/** @typedef {import('../types.js').DimensionFacts} DimensionFacts */
/** @typedef {import('./typed_length.js').PadUnit} PadUnit */

/** @type {[string, string][]} */
const UNITS = [
  ['in', 'inches'],
  ['ft in', 'feet, inches'],
  ['mm', 'mm'],
  ['cm', 'cm'],
  ['m', 'm'],
];
const UNREAD = 'Type it as it stands on the tape.';

export class PadForm {
  /**
   * @param {{wall: WallFacts, report: import('../types.js').Report | null, name: string,
   *   size: SizeReport | null, replaces: string | null}} asked
   * @param {{typed: () => void, keep: () => void, retake: (id: string) => void, close: () => void}} doing
   * @param {AbortSignal} signal
   */
  constructor(asked, doing, signal) {
    this.doing = doing;
    this.field = el('input', {
      id: 'pad-value',
      class: 'pad-value',
      type: 'text',
      inputmode: 'none',
      autocomplete: 'off',
      'aria-describedby': 'pad-echo',
    });
    this.echo = el(
      'output',
      { id: 'pad-echo', for: 'pad-value', class: 'pad-echo', 'aria-live': 'polite' },
      UNREAD,
    );
    this.failed = el('div', { role: 'alert' });
    this.unit = namedChoice('pad-unit', 'Unit', UNITS, setting('unit'));
    this.how = new HowTaken(asked.wall, asked.name, signal);
    this.submit = el(
      'button',
      { type: 'submit', class: 'primary' },
      asked.replaces ? 'Keep the new reading' : 'Keep this reading',
    );
    this.form = this.#build(asked, signal);
    this.#listen(signal);
    this.#unitChosen();
  }

  /** The reading as it is sent, with its unit. @param {string | null} bareUnit the job's own */
  text(bareUnit) {
    return asSent(this.field.value, /** @type {PadUnit} */ (this.unit.input.value), bareUnit);
  }

  /**
   * What is typed, to be kept in this browser until the service has it.
   * @param {string} id of the reading
   * @param {string | null} replaces
   * @returns {import('../state/unsent.js').Unsent}
   */
  draft(id, replaces) {
    const [unit, surface] = [this.unit.input.value, this.how.surfaceFact ?? ''];
    return { id, value: this.field.value, unit, surface, replaces };
  }

  /** Puts back what was typed while the service was not reached. @param {import('../state/unsent.js').Unsent} draft */
  restore({ value, unit, surface }) {
    this.unit.input.value = unit;
    this.#unitChosen();
    this.field.value = value;
    if (surface) this.how.surface.input.value = surface;
    this.failed.after(el('p', { class: 'notice' }, 'Typed before, and not kept yet: the service was not reached.'));
  }

  /**
   * What the text means, or why it means nothing.
   * @param {string} text
   * @param {boolean} [refused]
   */
  sayEcho(text, refused = false) {
    fill(this.failed);
    fill(this.echo, text || UNREAD);
    this.echo.classList.toggle('refused', refused);
    this.field.setAttribute('aria-invalid', String(refused));
  }

  /**
   * What is wrong, at the field that it is about; what was typed stays.
   * @param {string} text
   * @param {string} [path] of the field
   */
  fail(text, path = '') {
    fill(this.failed);
    if (path && path !== 'value' && showFault(this.form, path, text)) return;
    fill(this.failed, el('p', { class: 'notice failed' }, text));
    if (path) this.field.setAttribute('aria-invalid', 'true');
    this.field.focus();
  }

  /**
   * @param {{wall: WallFacts, report: import('../types.js').Report | null, name: string,
   *   size: SizeReport | null, replaces: string | null}} asked
   * @param {AbortSignal} signal
   */
  #build(asked, signal) {
    const { wall, name, size, report, replaces } = asked;
    const keys = padKeys(this.field, () => this.doing.typed(), signal);
    return el(
      'form',
      { class: 'pad-form', novalidate: true },
      part(
        'read',
        padHead(wall, name, this.doing.close, signal),
        this.failed,
        el(
          'label',
          { for: 'pad-value', class: 'pad-label' },
          replaces ? 'Taken again, the tape says' : 'What the tape says',
        ),
        el('div', { class: 'pad-line' }, this.field, this.unit.wrap),
        this.echo,
        hint(size, report),
      ),
      part(
        'work',
        el('div', { class: 'pad-keys' }, keys.whole, keys.fractions),
        el('div', { class: 'pad-actions' }, this.submit),
      ),
      part('more', this.how.fields, this.#before(asked, signal)),
    );
  }

  /**
   * Readings that stand already, each to be taken again; folded, so that nobody reads what they are
   * about to measure.
   * @param {{wall: WallFacts, report: import('../types.js').Report | null, name: string,
   *   replaces: string | null}} asked
   * @param {AbortSignal} signal
   */
  #before({ wall, report, name, replaces }, signal) {
    const readings = standingReadings(wall, name);
    if (readings.length === 0) return null;
    const beside = (/** @type {import('../types.js').ReadingFacts} */ reading) =>
      reading.id === replaces
        ? el('em', {}, 'being taken again')
        : button('Take again', () => this.doing.retake(reading.id), signal, {
            'aria-label': `Take again: ${reading.value}, which the new reading replaces`,
          });
    return el(
      'details',
      { class: 'pad-before', open: !padIsBlind() },
      el('summary', {}, `Readings so far: ${readings.length}`),
      readingList(wall, report, name, beside),
    );
  }

  /** @param {AbortSignal} signal */
  #listen(signal) {
    submits(this.form, () => null, () => this.doing.keep(), signal);
    listen(this.field, 'input', () => this.doing.typed(), signal);
    listen(this.unit.input, 'change', () => this.#unitChosen(), signal);
  }

  #unitChosen() {
    const unit = this.unit.input.value;
    const metric = METRIC.has(unit);
    keepSetting('unit', unit);
    this.how.read(metric);
    this.form.classList.toggle('metric', metric);
    this.form.classList.toggle('with-feet', unit === 'ft in');
    this.doing.typed();
  }
}

/**
 * @param {WallFacts} wall
 * @param {string} name of the size
 * @param {() => void} close
 * @param {AbortSignal} signal
 */
export function padHead(wall, name, close, signal) {
  const size = wall.dimensions.find((other) => other.name === name);
  return el(
    'header',
    { class: 'pad-head' },
    el('h2', { id: 'pad-title' }, `${name}, ${wallWords(wall)} wall`),
    el('p', {}, size ? toTape(size, wall) : ''),
    button('Close', close, signal, { class: 'quiet close' }),
  );
}

/**
 * A reading taken without knowing what is expected is worth more, so that is the usual.
 * @param {SizeReport | null} size
 * @param {import('../types.js').Report | null} report
 */
function hint(size, report) {
  if (size && !padIsBlind()) return el('div', { class: 'pad-hint' }, expectation(size));
  const who = report?.photos.length ? 'the photos expect' : 'the other readings expect';
  return el('p', { class: 'pad-hint quiet-text' }, `What ${who} shows when your reading is in.`);
}

/** @param {string} name where the style sheet puts it @param {...import('../page/dom.js').Child} children */
const part = (name, ...children) => el('div', { class: `pad-part ${name}` }, ...children);

/**
 * Between which points or lines a size is taken, by their names, and to which surface.
 * @param {DimensionFacts} size
 * @param {WallFacts} wall
 */
export const fromWhere = (size, wall) => `${taken(size, wall)}${surfaceOf(size)}`;

/**
 * The same for whoever holds the tape, who has seen no names of points: by what the size is of the
 * alcove, where that is known.
 * @param {DimensionFacts} size
 * @param {WallFacts} wall
 */
function toTape(size, wall) {
  const known = size.role ? size : { ...size, ...wall.known_by_name?.[size.name] };
  const words = known.role ? askedFor(known, Boolean(wall.corner)) : taken(size, wall);
  return words.includes('hung') ? words : `${words}${surfaceOf(size)}`;
}

const surfaceOf = (/** @type {DimensionFacts} */ { surface }) => (surface ? ` To the ${surfaceWords(surface)}.` : '');

/** @param {DimensionFacts} size @param {WallFacts} wall */
function taken(size, wall) {
  if (!size.from) return askedFor(size, Boolean(wall.corner));
  if (size.kind === 'to_line') return `From the ${lineWords(size.line, wall)} square to ${size.from}.`;
  if (size.kind === 'dx') return `Level, from ${size.from} to ${size.to}.`;
  if (size.kind === 'dy') return `Upright, from ${size.from} to ${size.to}.`;
  return `Straight from ${size.from} to ${size.to}.`;
}

/**
 * A line as it is called on the wall; one that is neither of the two goes by its marks.
 * @param {DimensionFacts['line']} line
 * @param {WallFacts} wall
 */
function lineWords(line, wall) {
  const through = (/** @type {readonly string[] | null | undefined} */ marks) =>
    marks && line && [...marks].sort().join() === [...line].sort().join();
  if (through(wall.plumb)) return 'plumb line';
  if (through(wall.level)) return 'level line';
  return `line ${line?.[0]} – ${line?.[1]}`;
}
