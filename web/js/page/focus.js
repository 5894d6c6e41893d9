/**
 * What is drawn anew keeps the focus where it was, and waits while a key is held: a button is pressed
 * when its key comes up, so one that took the place of the pressed one would never hear of it.
 */
import { listen } from './dom.js';

/** Attributes that say what an element is, whenever it is made anew. */
const NAMES = ['id', 'data-size', 'data-next', 'data-point', 'data-wall', 'data-panel', 'href', 'name'];

/**
 * Draws a place anew; what had the focus in it, or what now stands for it, has it afterwards.
 * @param {Element} place
 * @param {() => void} draw
 */
export function keepingFocus(place, draw) {
  const way = wayTo(place, document.activeElement);
  draw();
  if (way && !place.contains(document.activeElement)) found(place, way)?.focus({ preventScroll: true });
}

/** Puts work off while a key is held down. */
export class HeldKey {
  /** @param {AbortSignal} signal */
  constructor(signal) {
    this.held = false;
    /** @type {Map<string, () => void>} */
    this.waiting = new Map();
    listen(globalThis, 'keydown', () => (this.held = true), signal, { capture: true });
    listen(globalThis, 'keyup', () => this.#released(), signal, { capture: true });
    listen(globalThis, 'blur', () => this.#released(), signal);
  }

  /**
   * Does it now, or once no key is held; of what is put off under one name only the last is done.
   * @param {string} name
   * @param {() => void} work
   */
  afterwards(name, work) {
    if (this.held) this.waiting.set(name, work);
    else work();
  }

  /** The press itself comes after the key is up, so the work is left for the turn after it. */
  #released() {
    this.held = false;
    setTimeout(() => {
      if (this.held) return;
      const works = [...this.waiting.values()];
      this.waiting.clear();
      for (const work of works) work();
    });
  }
}

/**
 * What the focused element is called, and else where it stands among its kind.
 * @typedef {{selector: string, index: number}} Way
 * @param {Element} place
 * @param {Element | null} focused
 * @returns {Way | null}
 */
function wayTo(place, focused) {
  if (!focused || focused === place || !place.contains(focused)) return null;
  const named = NAMES.filter((name) => focused.hasAttribute(name)).map(
    (name) => `[${name}="${CSS.escape(focused.getAttribute(name) ?? '')}"]`,
  );
  const selector = focused.localName + named.join('');
  return { selector, index: [...place.querySelectorAll(selector)].indexOf(focused) };
}

/** @param {Element} place @param {Way} way @returns {HTMLElement | undefined} */
function found(place, { selector, index }) {
  const like = /** @type {HTMLElement[]} */ ([...place.querySelectorAll(selector)]);
  return like[Math.min(index, like.length - 1)];
}
