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
    /** Whether what is said is that the service was not reached: it is past once anything succeeds. */
    this.unreached = false;
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
    this.unreached = error instanceof Problem && error.status === 0;
    if (!(error instanceof Problem)) throw error;
  }

  clear() {
    this.unreached = false;
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
      const done = await work();
      if (this.unreached) this.clear();
      return done;
    } catch (error) {
      this.fail(error);
      return undefined;
    }
  }

  /**
   * Opens a page, which says so and shows nothing of itself till then; where that fails nothing is left
   * of it but why, and where to go from here.
   * @param {() => Promise<void>} work
   */
  async opening(work) {
    const whole = this.place.closest('main');
    try {
      await work();
      whole?.classList.remove('opening');
      // The place that was asked for was not there yet, or not where it is now.
      document.getElementById(location.hash.slice(1))?.scrollIntoView();
    } catch (error) {
      whole?.classList.replace('opening', 'not-opened');
      const again = button('Try again', () => location.reload(), this.signal);
      const away = el('a', { class: 'button', href: '/' }, 'To the jobs');
      this.fail(error, error instanceof Problem && error.status === 404 ? [away] : [again, away]);
    }
  }

  /** @param {string} text @param {string} kind @param {Node[]} [next] what can be done about it */
  #show(text, kind, next = []) {
    this.unreached = false;
    const close = button('Close', () => this.clear(), this.signal, { class: 'quiet' });
    fill(this.place, el('p', { class: `notice ${kind}` }, el('span', {}, text), ...(next.length ? next : [close])));
  }
}
