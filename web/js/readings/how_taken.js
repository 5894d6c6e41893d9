/** How a reading was taken: the method and with it the instrument, by whom, to which surface. */
import { el, fill, listen } from '../page/dom.js';
import { namedChoice, namedInput } from '../page/field.js';
import { keepSetting, setting, whoIsHere } from '../state/settings.js';
import { standingReadings } from '../drawing/words.js';
import { CLASSES, GRADUATIONS, INSTRUMENT_OF, METHODS, SURFACES, TOLERANCES } from './choices.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */

const INCH = '1/16 in';
const METRIC = '1 mm';

export class HowTaken {
  /**
   * @param {WallFacts} wall
   * @param {string} name of the size
   * @param {AbortSignal} signal
   */
  constructor(wall, name, signal) {
    this.method = namedChoice('pad-method', 'How', METHODS, setting('method'), 'instrument.method');
    this.who = namedInput('pad-who', 'Who', setting('who'), 'who', { autocomplete: 'name', maxlength: 60 });
    this.surface = namedChoice('pad-surface', 'To which surface', ...surfaces(wall, name), 'surface');
    this.tapeClass = namedChoice('pad-class', 'Class', CLASSES, setting('tapeClass'), 'instrument.class');
    this.graduation = namedChoice(
      'pad-graduation',
      'Its lines are apart',
      GRADUATIONS,
      setting('graduation'),
      'instrument.graduation',
    );
    this.tolerance = namedChoice(
      'pad-tolerance',
      'It is stated to be good to',
      TOLERANCES,
      setting('tolerance'),
      'instrument.tolerance',
    );
    const which = 'Which one (a name you give it)';
    this.which = namedInput('pad-tape', which, setting('tapeId'), 'instrument.id', { maxlength: 40 });
    this.summary = el('summary', {});
    this.fields = this.#build();
    listen(this.method.input, 'change', () => this.#methodChosen(), signal);
    listen(this.which.input, 'input', () => this.#summed(), signal);
    listen(this.tapeClass.input, 'change', () => this.#summed(), signal);
    this.#methodChosen();
  }

  /** What it was taken with, as the service wants it. */
  get instrument() {
    const method = /** @type {keyof typeof INSTRUMENT_OF} */ (this.method.input.value);
    const kind = INSTRUMENT_OF[method];
    const id = this.which.input.value.trim() || null;
    if (kind !== 'tape') return { kind, id, method, tolerance: this.tolerance.input.value || null };
    return { kind, id, class: this.tapeClass.input.value, graduation: this.graduation.input.value, method };
  }

  /** What the tape touched, or null where nobody says. */
  get surfaceFact() {
    return this.surface.input.value || null;
  }

  /** A tape read in millimetres has lines a millimetre apart, unless somebody said otherwise. */
  read(/** @type {boolean} */ metric) {
    const { input } = this.graduation;
    if (metric && input.value === INCH) input.value = METRIC;
    else if (!metric && input.value === METRIC) input.value = INCH;
  }

  /** Keeps how it was taken for the next reading, and who takes them. */
  remember() {
    keepSetting('method', this.method.input.value);
    keepSetting('tapeClass', this.tapeClass.input.value);
    keepSetting('graduation', this.graduation.input.value);
    keepSetting('tolerance', this.tolerance.input.value);
    keepSetting('tapeId', this.which.input.value);
    keepSetting('who', this.who.input.value);
    return whoIsHere();
  }

  #build() {
    return el(
      'fieldset',
      { class: 'pad-how' },
      el('legend', {}, 'How it was taken'),
      this.method.wrap,
      this.who.wrap,
      el(
        'details',
        {},
        this.summary,
        this.which.wrap,
        this.tapeClass.wrap,
        this.graduation.wrap,
        this.tolerance.wrap,
      ),
      this.surface.wrap,
    );
  }

  #methodChosen() {
    const tape = this.instrument.kind === 'tape';
    this.tapeClass.wrap.hidden = !tape;
    this.graduation.wrap.hidden = !tape;
    this.tolerance.wrap.hidden = tape;
    this.#summed();
  }

  /** The fold says what is in it. */
  #summed() {
    const { kind, id } = this.instrument;
    const words = kind === 'laser' ? 'laser meter' : kind;
    const classed = kind === 'tape' ? CLASSES.find(([key]) => key === this.tapeClass.input.value)?.[1] : '';
    fill(this.summary, `Instrument: ${[words, id, classed].filter(Boolean).join(', ')}`);
  }
}

/**
 * The surfaces to choose from, and the one chosen: the size's own where it has one, since a size to
 * another surface is another size; else what its last reading was taken to, or that of another size
 * at the same height of this wall.
 * @param {WallFacts} wall
 * @param {string} name
 * @returns {[[string, string][], string]}
 */
function surfaces(wall, name) {
  const own = wall.dimensions.find((size) => size.name === name)?.surface;
  if (own) return [SURFACES.filter(([key]) => key === own), own];
  return [SURFACES, standingReadings(wall, name).at(-1)?.surface ?? surfaceAt(wall, downOf(wall, name))];
}

/** How far below the level line a size is taken, as written. @param {WallFacts} wall @param {string} name */
function downOf(wall, name) {
  const size = wall.dimensions.find((other) => other.name === name);
  const down = size?.down ?? wall.known_by_name?.[name]?.down ?? '';
  return down.replace(/\s*in$/u, '');
}

/** What was last touched at a height. @param {WallFacts} wall @param {string} down */
function surfaceAt(wall, down) {
  if (!down) return '';
  const there = wall.readings.filter((one) => one.surface && downOf(wall, one.dimension) === down);
  return there.at(-1)?.surface ?? '';
}
