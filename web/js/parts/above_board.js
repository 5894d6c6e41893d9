/** The alcove from above with its sizes in plan, under the drawing of the walls. */
import { fromAbove, squareWords } from '../drawing/from_above.js';
import { sizeWords, wallWords } from '../drawing/words.js';
import { el, fill } from '../page/dom.js';
import { keepingFocus } from '../page/focus.js';
import { rove } from '../page/roving.js';

/** @typedef {import('../state/job_facts.js').JobFacts} JobFacts */

export class AboveBoard {
  /**
   * @param {HTMLElement} place hidden where no size in plan is asked for
   * @param {JobFacts} facts
   * @param {(wall: string, size: string) => void} openSize
   * @param {AbortSignal} signal
   */
  constructor(place, facts, openSize, signal) {
    this.place = place;
    this.facts = facts;
    this.openSize = openSize;
    this.sheet = el('div', { class: 'board-sheet' });
    this.words = el('div');
    place.append(this.sheet, this.words);
    this.shown = new AbortController();
    this.width = 0;
    const resized = new ResizeObserver(() => this.#resized());
    resized.observe(this.sheet);
    signal.addEventListener('abort', () => resized.disconnect(), { once: true });
  }

  /** Draws it anew. */
  show() {
    this.shown.abort();
    this.shown = new AbortController();
    const above = this.facts.alcove?.from_above ?? null;
    this.place.hidden = !above;
    if (!above) return;
    this.width = this.#room();
    const states = this.facts.inOrder();
    const ends = states.filter(({ facts }) => facts.name !== 'back').map(({ facts }) => wallWords(facts));
    const picture = fromAbove(above, this.width, [ends[0], ends[1]], (wall, size) => this.#told(wall, size));
    const sizes = /** @type {SVGElement[]} */ ([...picture.querySelectorAll('.size')]);
    rove(picture, sizes, sizes, (size) => this.#open(size), this.shown.signal);
    keepingFocus(this.sheet, () => fill(this.sheet, picture));
    fill(this.words, squareWords(above), usualWords(above.usual));
  }

  /** What a size is and says. @param {string} name of a wall @param {string} size */
  #told(name, size) {
    const state = this.#wall(name);
    const said = state?.facts.dimensions.find((other) => other.name === size);
    if (!state || !said) return null;
    return { role: said.role ?? '', words: sizeWords(state.facts, state.report, size) };
  }

  /** @param {SVGElement} size */
  #open(size) {
    const state = this.#wall(size.getAttribute('data-wall') ?? '');
    if (state) this.openSize(state.facts.id, size.getAttribute('data-size') ?? '');
  }

  /** @param {string} name */
  #wall(name) {
    return this.facts.inOrder().find(({ facts }) => facts.name === name);
  }

  #room() {
    return Math.max(300, Math.floor(this.sheet.clientWidth));
  }

  #resized() {
    if (!this.place.hidden && Math.abs(this.#room() - this.width) > 1) this.show();
  }
}

/** What is drawn as usual, for nothing taped tells it. @param {string[]} usual */
function usualWords(usual) {
  const words = usual.length
    ? `Not to scale where nothing is taped yet: ${usual.join(', ')}.`
    : 'To scale, by the tape.';
  return el('p', { class: 'quiet-text' }, words);
}
