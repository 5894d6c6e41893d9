/** What may be marked in the photo, one by one: set the point in hand there, look at it, or not. */
import { button, el, fill } from '../page/dom.js';
import { Suggestions } from '../state/suggestions.js';

/** @typedef {import('../state/suggestions.js').Open} Open */

export class SuggestionList {
  /**
   * @param {HTMLElement} place
   * @param {{find: () => Promise<import('../types.js').Suggestion[] | undefined>, changed: (open: Open[]) => void,
   *   look: (one: Open) => void, set: (one: Open) => void, line: (one: Open) => Promise<boolean>}} doing
   * @param {AbortSignal} signal
   */
  constructor(place, doing, signal) {
    this.doing = doing;
    this.signal = signal;
    this.asked = button('Look for edges and fittings', () => void this.#find(), signal);
    this.said = el('p', { class: 'quiet-text', role: 'status' });
    this.list = el('ul', { class: 'suggestions', 'aria-label': 'What may be marked' });
    /** @type {Map<string, {item: HTMLElement, set: HTMLButtonElement}>} */
    this.items = new Map();
    this.found = new Suggestions([]);
    this.point = '';
    fill(place, el('h2', {}, 'May be marked'), this.asked, this.said, this.list);
  }

  /** @param {string} point the name of the point that would be set */
  name(point) {
    this.point = point;
    for (const { set } of this.items.values()) {
      set.disabled = !point;
      set.textContent = point ? `Set ${point} there` : 'No point in hand';
    }
  }

  /** Puts one away. @param {string} letter */
  drop(letter) {
    const gone = this.items.get(letter);
    if (!gone) return;
    this.found.putAside(letter);
    const next = /** @type {HTMLElement | null} */ (gone.item.nextElementSibling ?? gone.item.previousElementSibling);
    const had = gone.item.contains(document.activeElement);
    gone.item.remove();
    this.items.delete(letter);
    if (had) (next?.querySelector('button') ?? this.asked).focus();
    if (this.items.size === 0) this.said.textContent = 'Nothing else was found.';
    this.doing.changed(this.found.open);
  }

  async #find() {
    if (this.asked.getAttribute('aria-busy') === 'true') return;
    this.asked.setAttribute('aria-busy', 'true');
    this.said.textContent = 'Looking…';
    const found = await this.doing.find();
    this.asked.removeAttribute('aria-busy');
    if (!found) this.said.textContent = '';
    else this.#show(new Suggestions(found));
  }

  /** @param {Suggestions} found */
  #show(found) {
    this.found = found;
    this.items = new Map(found.open.map((one) => [one.letter, this.#item(one)]));
    this.name(this.point);
    fill(this.list, ...[...this.items.values()].map(({ item }) => item));
    const count = found.open.length;
    this.said.textContent = count
      ? 'Only what it may be: look at each, and take it or put it away.'
      : 'Nothing was found that is clear enough.';
    this.doing.changed(found.open);
  }

  /** @param {Open} one */
  #item(one) {
    const words = `${one.letter}: ${one.text.includes(one.kind) ? one.text : `${one.kind}, ${one.text}`}`;
    const set = button('', () => this.doing.set(one), this.signal, { class: 'primary' });
    const item = el(
      'li',
      {},
      el('span', {}, words),
      el(
        'span',
        { class: 'suggestion-buttons' },
        set,
        one.line ? this.#asLine(one, set, words) : null,
        button('Show', () => this.doing.look(one), this.signal, { 'aria-label': `Show ${words}` }),
        button('Put away', () => this.drop(one.letter), this.signal, { 'aria-label': `Put away ${words}` }),
      ),
    );
    return { item, set };
  }

  /**
   * Once it is a straight line it may still be a point.
   * @param {Open} one
   * @param {HTMLElement} set
   * @param {string} words
   */
  #asLine(one, set, words) {
    const take = async () => {
      if (!(await this.doing.line(one))) return;
      if (document.activeElement === press) set.focus();
      press.remove();
    };
    const name = { 'aria-label': `Take as a straight line ${words}` };
    const press = button('Take as a straight line', () => void take(), this.signal, name);
    return press;
  }
}
