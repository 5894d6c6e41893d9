/** One tab stop for many things in a drawing: arrow keys go from one to the next, Enter opens. */
import { listen } from './dom.js';

const STEPS = Object.freeze({ ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 });

/**
 * @param {SVGElement} group
 * @param {SVGElement[]} stops in their order; the first in `opened` is where one comes in
 * @param {SVGElement[]} opened those that are opened by a touch, a click, Enter or the space bar
 * @param {(stop: SVGElement) => void} open
 * @param {AbortSignal} signal
 */
export function rove(group, stops, opened, open, signal) {
  (opened[0] ?? stops[0])?.setAttribute('tabindex', '0');
  for (const stop of opened) listen(stop, 'click', () => open(stop), signal);
  const pressed = (/** @type {KeyboardEvent} */ event) => {
    const at = stops.indexOf(/** @type {any} */ (document.activeElement));
    const step = /** @type {Record<string, number>} */ (STEPS)[event.key];
    if (at < 0) return;
    if (step) {
      event.preventDefault();
      const next = stops[(at + step + stops.length) % stops.length];
      stops[at].setAttribute('tabindex', '-1');
      next.setAttribute('tabindex', '0');
      next.focus();
    } else if ((event.key === 'Enter' || event.key === ' ') && opened.includes(stops[at])) {
      event.preventDefault();
      open(stops[at]);
    }
  };
  listen(group, 'keydown', pressed, signal);
}
