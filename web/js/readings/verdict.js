/** What came of a reading, as a colleague would say it. */
import { estimateText, sizeText } from '../geometry/lengths.js';
import { isHeld, statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';
import { setting } from '../state/settings.js';
import { METRIC } from './choices.js';

/** @typedef {import('../types.js').SizeReport} SizeReport */

const MEANINGS = Object.freeze({
  agrees: 'Tape and photos agree.',
  unsure: 'Not clear either way. Take this one again.',
  conflicts: 'This does not fit what the photos and the other readings say.',
  'tape only':
    'Nothing checks this one, so it is still not for cutting: it is in no measured photo, and no other reading ' +
    'bears on it.',
  'photo only': 'Not taped yet.',
});
/** The same of a wall that has no photo. */
const BY_TAPE = Object.freeze({
  ...MEANINGS,
  conflicts: 'This does not fit what the other readings say.',
  'tape only': 'Nothing checks this one, so it is still not for cutting: no other reading bears on it.',
});

const BY_TWO = 'but it is taped twice, by two persons or in two ways, which agree: that proves it.';
/** The same of a size that holds no sheet all the same. @type {Record<string, string>} */
const PROVED = Object.freeze({
  unsure: `Not clear by the rest, ${BY_TWO}`,
  conflicts: 'This does not fit what the rest says. It is let stand.',
  'tape only': `Nothing else checks it, ${BY_TWO}`,
});

/**
 * @param {SizeReport} size
 * @param {import('../types.js').Report} report that it is in
 * @returns {HTMLElement}
 */
export function verdict(size, report) {
  const lines = [
    el('p', { class: 'verdict-word' }, statusBadge(size.status)),
    el('p', { class: 'verdict-says' }, colleague(size, report)),
  ];
  const blocked = report.gate.blocking.find((other) => other.dimension === size.name);
  if (blocked && size.status === 'agrees') lines.push(el('p', {}, `Still not for cutting: ${blocked.why}.`));
  return el('div', { class: `verdict ${size.status.replace(' ', '-')}` }, ...lines, expectation(size));
}

/**
 * @param {SizeReport} size
 * @param {import('../types.js').Report} report
 */
export function colleague(size, report) {
  if (size.status === 'agrees' && size.photo_mm === null) return `It fits what the other readings say.${odd(size)}`;
  if (size.status === 'agrees') return `${MEANINGS.agrees}${odd(size)}`;
  const held = (report.photos.length > 0 ? MEANINGS : BY_TAPE)[size.status];
  const meaning = isHeld(size.name, report.gate) ? held : (PROVED[size.status] ?? held);
  if (!size.suspect?.text) return meaning;
  const said = sentence(size.suspect.text);
  // What contradicts another size is not what nothing bears on.
  return size.status === 'tape only' ? said : `${meaning} ${said}`;
}

/** What is said of a slip, as a sentence. @param {string} text */
const sentence = (text) => ended(`${text[0].toUpperCase()}${text.slice(1)}`);

/** With a full stop where nothing else ends it. @param {string} text */
export const ended = (text) => (/[.?!)]$/u.test(text) ? text : `${text}.`);

/** Of several readings one may be off while they agree as a whole. @param {SizeReport} size */
export const odd = (size) => (size.suspect ? ' One of its readings does not fit, though.' : '');

/**
 * What everything but the size's own readings expects; on a pad that takes metric readings in mm too.
 * @param {SizeReport} size
 */
export function expectation(size) {
  const [mm, within] = [size.expected_mm, size.expected_interval95_mm];
  if (mm === null || !within) return null;
  const beside = METRIC.has(setting('unit')) ? ` = ${estimateText(mm, within, 'mm')}` : '';
  return el('p', { class: 'expected' }, `Expected without it: ${estimateText(mm, within)}${beside}.`);
}

/**
 * The figures behind a verdict, folded away.
 * @param {SizeReport} size
 * @param {import('../types.js').Report | null} report that it is in
 */
export function figures(size, report) {
  return el('details', { class: 'figures' }, el('summary', {}, 'Figures'), figureList(size, report));
}

/**
 * The figures behind a verdict: of the size, and of each of its readings by itself.
 * @param {SizeReport} size
 * @param {import('../types.js').Report | null} report that it is in
 */
export function figureList(size, report) {
  const slip = report?.unseen_slips?.[size.name];
  const own = (report?.readings ?? []).filter(
    ({ dimension, status }) => dimension === size.name && status !== 'replaced',
  );
  /** @type {[string, string][]} */
  const rows = [
    ['Photos alone', interval(size.photo_mm, size.photo_interval95_mm)],
    ['Tape', tape(size)],
    ['Expected without its own tape', interval(size.expected_mm, size.expected_interval95_mm)],
    ['Everything that agrees', interval(size.best_mm, size.best_interval95_mm)],
    ['Normalised error E_n (agrees within ±1)', figure(size.en)],
    ['Standardised difference w (conflicts past ±3.29)', figure(size.w)],
    ['Least slip that this would have caught', inBoth(size.mdb_mm)],
  ];
  if (own.length > 1) {
    rows.push(['Readings against one another: Birge ratio (about 1 where they agree)', figure(size.birge ?? null)]);
    for (const reading of own) rows.push([`The reading ${inBoth(reading.mm ?? null)} by itself`, alone(reading)]);
  }
  if (slip) rows.push(['What one mark set wrong could do to the photos’ size unseen', unseen(slip)]);
  const items = rows.map(([name, value]) => el('div', {}, el('dt', {}, name), el('dd', {}, value)));
  return el('dl', {}, ...items);
}

/** @param {number | null} mm @param {import('../types.js').Pair | null} bounds */
function interval(mm, bounds) {
  if (mm === null || !bounds) return 'none';
  const within = `${bounds[0].toFixed(1)} to ${bounds[1].toFixed(1)}`;
  return `${estimateText(mm, bounds)} (${mm.toFixed(1)} mm, 95 % within ${within})`;
}

/** With what of its uncertainty more repeats would not take away. @param {SizeReport} size */
function tape(size) {
  if (size.tape_mm === null || size.tape_u_mm === null) return 'none';
  const stays = size.tape_stays_mm == null ? '' : `, of it ${size.tape_stays_mm.toFixed(2)} however often repeated`;
  return `${inBoth(size.tape_mm)}, u ${size.tape_u_mm.toFixed(2)} mm${stays}`;
}

/** @param {import('../types.js').ReadingReport} reading */
function alone({ w, mdb_mm, u_mm }) {
  return `u ${u_mm.toFixed(2)} mm, w ${figure(w ?? null)}, least slip ${inBoth(mdb_mm ?? null)}`;
}

/** @param {number | null} mm */
const inBoth = (mm) => (mm === null ? 'none' : `${sizeText(mm)} in = ${mm.toFixed(1)} mm`);

/** @param {import('../types.js').UnseenSlip} slip */
function unseen({ mark, photo, mm }) {
  const far = mm === null ? 'any amount' : `up to ${inBoth(mm)}`;
  return `${far}, by ${mark} in ${photo}`;
}

/** @param {number | null} value */
const figure = (value) => (value === null ? 'none' : value.toFixed(2));
