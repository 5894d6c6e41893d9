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
   * @param {Node[]} [next] what can be done about it, in place of closing it
   */
  fail(error, next = []) {
    if (error instanceof DOMException && error.name === 'AbortError') return;
    const text = error instanceof Problem ? error.text : `Something in this page failed: ${error}`;
    this.#show(text, 'failed', next);
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

  /**
   * Opens a page; where that fails nothing is left of it but why, and where to go from here.
   * @param {() => Promise<void>} work
   */
  async opening(work) {
    try {
      await work();
    } catch (error) {
      this.place.closest('main')?.classList.add('not-opened');
      const again = button('Try again', () => location.reload(), this.signal);
      const away = el('a', { class: 'button', href: '/' }, 'To the jobs');
      this.fail(error, error instanceof Problem && error.status === 404 ? [away] : [again, away]);
    }
  }

  /** @param {string} text @param {string} kind @param {Node[]} [next] what can be done about it */
  #show(text, kind, next = []) {
    const close = button('Close', () => this.clear(), this.signal, { class: 'quiet' });
    fill(this.place, el('p', { class: `notice ${kind}` }, el('span', {}, text), ...(next.length ? next : [close])));
  }
}
