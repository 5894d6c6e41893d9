/** Says what went wrong, or right, where a screen reader hears it too. */
import { Problem } from '../api.js';
import { button, el, fill } from './dom.js';

export class Notice {
  /**
   * @param {HTMLElement} place
   * @param {AbortSignal} signal
   */
  constructor(place, signal) {
    this.place = place;
    this.signal = signal;
    place.setAttribute('role', 'status');
    place.setAttribute('aria-live', 'polite');
  }

  /** @param {string} text */
  say(text) {
    this.#show(text, 'said');
  }

  /**
   * Shows a failure in words; what is not a refusal of the service is passed on.
   * @param {unknown} error
   */
  fail(error) {
    if (error instanceof DOMException && error.name === 'AbortError') return;
    const text = error instanceof Problem ? error.text : `Something in this page failed: ${error}`;
    this.#show(text, 'failed');
    if (!(error instanceof Problem)) throw error;
  }

  clear() {
    fill(this.place);
  }

  /**
   * Runs something and shows why it failed.
   * @template T
   * @param {() => Promise<T>} work
   * @returns {Promise<T | undefined>}
   */
  async guard(work) {
    try {
      return await work();
    } catch (error) {
      this.fail(error);
      return undefined;
    }
  }

  /** @param {string} text @param {string} kind */
  #show(text, kind) {
    const close = button('Close', () => this.clear(), this.signal, { class: 'quiet' });
    fill(this.place, el('p', { class: `notice ${kind}` }, el('span', {}, text), close));
  }
}
