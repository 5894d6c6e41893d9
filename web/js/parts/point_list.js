/**
 * The wall's points in the order they are set: which are set in this photo, and what each serves.
 *
 * The list is changed where it stands, never made anew: a button that has the focus keeps it, and a key
 * that is pressed while something changes goes where it was meant.
 */
import { button, el, fill } from '../page/dom.js';
import { servedBy } from '../state/point_order.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */

export class PointList {
  /**
   * @param {HTMLElement} place
   * @param {(name: string) => void} choose
   * @param {AbortSignal} signal
   */
  constructor(place, choose, signal) {
    this.choose = choose;
    this.signal = signal;
    this.count = el('h2', {}, '');
    this.list = el('ul', { class: 'points', 'aria-label': 'Points of the wall' });
    /** @type {Map<string, {item: HTMLElement, press: HTMLButtonElement, said: HTMLElement}>} */
    this.items = new Map();
    fill(place, this.count, this.list);
  }

  /**
   * @param {WallFacts} wall
   * @param {string[]} names
   * @param {Set<string>} done in this photo
   * @param {string} current
   */
  show(wall, names, done, current) {
    const open = names.filter((name) => !done.has(name)).length;
    say(this.count, `Points: ${names.length - open} set in this photo, ${open} to set`);
    this.#keepOnly(new Set(names));
    names.forEach((name, index) => {
      const { item, press, said } = this.items.get(name) ?? this.#add(name);
      if (this.list.children[index] !== item) this.list.insertBefore(item, this.list.children[index] ?? null);
      say(said, pointWords(wall, name, done.has(name)));
      press.classList.toggle('is-set', done.has(name));
      press.setAttribute('aria-pressed', String(name === current));
    });
  }

  /** @param {string} name */
  #add(name) {
    const said = el('span', { class: 'quiet-text' });
    const press = button([el('b', {}, name), said], () => this.choose(name), this.signal, { 'data-point': name });
    const made = { item: el('li', {}, press), press, said };
    this.items.set(name, made);
    return made;
  }

  /** @param {Set<string>} names */
  #keepOnly(names) {
    for (const [name, { item }] of this.items) {
      if (names.has(name)) continue;
      item.remove();
      this.items.delete(name);
    }
  }
}

/** @param {WallFacts} wall @param {string} name @param {boolean} here */
function pointWords(wall, name, here) {
  const serves = servedBy(wall, name).filter((served) => served !== name);
  const photos = wall.photos.filter((photo) => name in (photo.marks ?? {})).length;
  const elsewhere = photos ? `in ${photos} photo${photos > 1 ? 's' : ''}` : 'in no photo yet';
  const state = here ? `✓ set here, ${elsewhere} in all` : elsewhere;
  return [state, serves.length ? `for ${serves.join(', ')}` : ''].filter(Boolean).join(' · ');
}

/** Leaves text alone that is right already. @param {HTMLElement} place @param {string} text */
function say(place, text) {
  if (place.textContent !== text) place.textContent = text;
}
