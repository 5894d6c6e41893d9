/** The wall's sizes and points over the photo, as they were measured; asked for again as facts change. */
import { sizeWords } from '../drawing/words.js';
import { sizeText } from '../geometry/lengths.js';
import { mmPerPixel } from '../geometry/photo_scale.js';
import { marksOf } from '../geometry/sizes.js';
import { ENLARGED, ellipsesTimes, measuredLayer } from '../photo/measured_layer.js';
import { placeOf } from '../state/photo_asking.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

/** A sixteenth of an inch. */
const LEAST_SAID_MM = 1.5875;

export class MeasuredOnPhoto {
  /**
   * @param {{overlay: import('../photo/overlay.js').PhotoOverlay, note: HTMLElement,
   *   press: HTMLButtonElement, photo: string}} where press: the button that shows and hides it
   * @param {AbortSignal} signal
   */
  constructor({ overlay, note, press, photo }, signal) {
    this.overlay = overlay;
    this.note = note;
    this.press = press;
    this.photo = photo;
    this.signal = signal;
    this.shown = true;
    /** @type {import('../types.js').PhotoPlace} */
    this.place = { points: {}, sizes: [] };
    this.asking = new AbortController();
  }

  /** Asks where the points and sizes lie now. @returns {Promise<boolean>} whether that was answered */
  async ask() {
    this.asking.abort();
    this.asking = new AbortController();
    const { signal } = this.asking;
    const place = await placeOf(this.photo, AbortSignal.any([signal, this.signal]));
    if (signal.aborted || this.signal.aborted) return false;
    this.place = place;
    return true;
  }

  /**
   * Written out are the sizes that the point in hand serves.
   * @param {WallState} state
   * @param {string} point
   * @param {Set<string>} done points that are set in this photo
   */
  show({ facts, report }, point, done) {
    const served = facts.dimensions.filter((size) => marksOf(size).includes(point));
    const said = new Map(
      served
        .map(({ name }) => sizeWords(facts, report, name))
        .filter(({ photo }) => photo)
        .map(({ name, photo }) => [name, `${photo} in`]),
    );
    this.overlay.show('measured', this.shown ? measuredLayer(this.place, said, point, done) : null);
    this.press.setAttribute('aria-pressed', String(this.shown));
    this.scaled(this.overlay.viewer.scale);
  }

  /** Says how large the ellipses are drawn. @param {number} scale screen px for each image px */
  scaled(scale) {
    this.note.hidden = !this.shown || Object.keys(this.place.points).length === 0;
    const text = ellipsesTimes(scale) > 1 ? `95 % ellipses, ${ENLARGED} times as large` : '95 % ellipses';
    if (this.note.textContent !== text) this.note.textContent = text;
  }

  /**
   * A short way on the photo in words: on the wall, in pixels where that cannot be told.
   * @param {number} px
   * @param {WallState} state
   */
  lengthWords(px, { facts, report }) {
    const scale = mmPerPixel(this.place.points, report?.points ?? {});
    if (scale === null) return `${px.toFixed(1)} px`;
    const mm = px * scale;
    if (facts.bare_unit !== null && facts.bare_unit !== 'in') return `${mm.toFixed(1)} mm`;
    return mm < LEAST_SAID_MM ? 'less than 1/16 in' : `${sizeText(mm)} in`;
  }
}
