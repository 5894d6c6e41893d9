/** The point in hand: its name, what it lies on, and the buttons that set it. */
import { SHARPNESS, SURFACES, sharpnessOf, standoff, surfaceOf } from '../photo/precision.js';
import { button, el, fill, listen } from '../page/dom.js';
import { labelled } from '../page/field.js';
import { servedBy } from '../state/point_order.js';

/** @typedef {import('../types.js').MarkFacts} MarkFacts */

export class PointHand {
  /**
   * @param {HTMLElement} place
   * @param {{set: () => void, step: (by: number) => void, undo: () => void, redo: () => void,
   *   remove: () => void, lies: () => void, zoom: (factor: number) => void, fit: () => void, sizes: () => void}} doing
   * @param {AbortSignal} signal
   */
  constructor(place, doing, signal) {
    this.title = el('h2', { id: 'point-name' });
    this.serves = el('p', { class: 'quiet-text' });
    this.surface = select('point-surface', SURFACES);
    this.away = el('input', { id: 'point-away', type: 'text', inputmode: 'text' });
    this.sharpness = select('point-sharpness', SHARPNESS);
    /** @type {MarkFacts | undefined} */
    this.known = undefined;
    this.remove = button('Remove', doing.remove, signal, {
      'aria-label': 'Remove this point from the photo',
    });
    this.sizes = button('Sizes', doing.sizes, signal, { 'aria-label': 'Sizes and ellipses over the photo' });
    this.set = button('Set point', doing.set, signal, { class: 'primary set' });
    const tools = el(
      'div',
      { class: 'hand-tools' },
      button('−', () => doing.zoom(1 / 1.6), signal, { 'aria-label': 'Smaller' }),
      button('Whole', doing.fit, signal, { 'aria-label': 'Whole photo' }),
      button('+', () => doing.zoom(1.6), signal, { 'aria-label': 'Larger' }),
      this.sizes,
      button('Undo', doing.undo, signal),
      button('Redo', doing.redo, signal),
      this.remove,
    );
    const main = el(
      'div',
      { class: 'hand-main' },
      button('‹', () => doing.step(-1), signal, { 'aria-label': 'Previous point' }),
      el('div', { class: 'hand-words' }, this.title, this.serves),
      button('›', () => doing.step(1), signal, { 'aria-label': 'Next point' }),
    );
    this.lies = el('summary', {}, 'Lies on');
    const about = el(
      'details',
      { class: 'hand-about' },
      this.lies,
      labelled('It lies on', this.surface),
      labelled('mm before the cards’ face, − behind it', this.away),
      labelled('It is', this.sharpness),
    );
    listen(this.surface, 'change', () => this.#surfaceChosen(), signal);
    for (const said of [this.surface, this.away, this.sharpness])
      listen(said, 'change', () => this.isSet && doing.lies(), signal);
    this.isSet = false;
    fill(place, main, el('div', { class: 'hand-set' }, this.set, about), tools);
  }

  /**
   * @param {import('../types.js').WallFacts} wall
   * @param {string} name
   * @param {MarkFacts | undefined} mark as it is set in this photo
   * @param {MarkFacts | undefined} other the same point in another photo, or the last one like it
   */
  show(wall, name, mark, other) {
    this.title.textContent = name || 'All points are set';
    const served = name ? servedBy(wall, name) : [];
    this.serves.textContent = served.length ? `for ${served.join(', ')}` : '';
    this.set.textContent = mark ? 'Move point here' : 'Set point';
    this.set.disabled = !name;
    this.remove.disabled = !mark;
    this.isSet = mark !== undefined;
    this.known = mark ?? other;
    this.surface.value = surfaceOf(mark ?? other);
    this.away.value = String((mark ?? other)?.standoff_mm ?? 0);
    this.sharpness.value = sharpnessOf(mark ?? other);
    this.#nameFold();
  }

  /** What is said of the point's surface and sharpness. */
  get facts() {
    const sharpness = SHARPNESS.find(({ key }) => key === this.sharpness.value) ?? SHARPNESS[0];
    const away = Number(this.away.value.replace('−', '-'));
    return { defined_mm: sharpness.defined_mm, ...standoff(Number.isFinite(away) ? away : 0, this.known) };
  }

  #surfaceChosen() {
    const usual = SURFACES.find(({ key }) => key === this.surface.value)?.standoff_mm;
    if (usual !== null && usual !== undefined) this.away.value = String(usual);
    this.#nameFold();
  }

  #nameFold() {
    this.lies.textContent = `Lies on ${this.surface.selectedOptions[0]?.textContent ?? ''}`;
  }
}

/** @param {string} id @param {readonly {key: string, word: string}[]} options */
function select(id, options) {
  return el('select', { id }, ...options.map(({ key, word }) => el('option', { value: key }, word)));
}
