/**
 * What was found near a point that was just set: the person takes it, chooses one of several, or keeps
 * the point as it is. Nothing is taken by itself.
 */
import { button, el } from '../page/dom.js';

/** @typedef {import('../types.js').Snap} Snap */
/** @typedef {import('../types.js').Snaps} Snaps */

const MOST = 4;

export class NearBar {
  /**
   * @param {HTMLElement} place
   * @param {{use: (index: number) => void, keep: () => void}} doing
   * @param {HTMLElement} stage where the keys go when the bar is put away
   * @param {AbortSignal} signal
   */
  constructor(place, doing, stage, signal) {
    this.place = place;
    this.stage = stage;
    this.said = el('p', { class: 'near-said', role: 'status', 'aria-live': 'polite' });
    this.choices = Array.from({ length: MOST }, (_, index) =>
      button('', () => doing.use(index), signal, { class: index === 0 ? 'primary' : null }),
    );
    this.keep = button('Keep mine', () => doing.keep(), signal);
    this.buttons = el('div', { class: 'near-buttons' }, ...this.choices, this.keep);
    place.append(this.said, this.buttons);
    this.hide();
  }

  /**
   * @param {string} name of the point
   * @param {Snaps} found
   * @param {(snap: Snap) => string} away how far a candidate lies from the point, in words; empty where
   *   that is no way at all
   */
  show(name, { snaps, doubt }, away) {
    const [first] = snaps;
    this.said.textContent = `${name}: ${doubt ? doubt.text : offered(first, away(first))}`;
    this.choices.forEach((choice, index) => {
      const snap = snaps[index];
      choice.hidden = !snap || (!doubt && index > 0);
      if (!snap) return;
      choice.textContent = doubt ? [`${index + 1} ${snap.kind}`, away(snap)].filter(Boolean).join(', ') : 'Use it';
      choice.setAttribute('aria-label', doubt ? `Use ${index + 1}: ${snap.text}` : `Use it: ${snap.text}`);
      choice.classList.toggle('primary', !doubt);
    });
    this.buttons.hidden = snaps.length === 0;
    this.place.hidden = false;
  }

  hide() {
    const had = this.place.contains(document.activeElement);
    this.place.hidden = true;
    this.said.textContent = '';
    if (had) this.stage.focus();
  }
}

/** @param {Snap} snap @param {string} away */
function offered({ text }, away) {
  return away
    ? `${text}, ${away} from where you set it.`
    : `${text}, just where you set it. Using it makes the point surer.`;
}
