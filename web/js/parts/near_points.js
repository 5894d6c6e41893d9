/** Asks what a point that was just set may have meant, and shows it until the person has answered. */
import { NearBar } from './near_bar.js';
import { nearLayer } from '../photo/near_layer.js';
import { snapsOf } from '../state/photo_asking.js';

/** @typedef {import('../types.js').MarkFacts} MarkFacts */
/** @typedef {import('../types.js').Snap} Snap */

/** A hand that is as near as this has set the point there. */
const SAME_PX = 0.5;

/**
 * @typedef {object} Offer
 * @property {string} name of the point
 * @property {MarkFacts} mark as it was set by hand
 * @property {import('../types.js').Snaps} found
 */

export class NearPoints {
  /**
   * @param {{place: HTMLElement, stage: HTMLElement, overlay: import('../photo/overlay.js').PhotoOverlay,
   *   photo: string}} where
   * @param {{use: (name: string, mark: MarkFacts, snap: Snap) => void, kept: (name: string) => void,
   *   length: (px: number) => string}} doing
   * @param {AbortSignal} signal
   */
  constructor({ place, stage, overlay, photo }, doing, signal) {
    this.overlay = overlay;
    this.photo = photo;
    this.doing = doing;
    this.signal = signal;
    this.bar = new NearBar(place, { use: (index) => this.use(index), keep: () => this.keep() }, stage, signal);
    /** @type {Offer | null} */
    this.offer = null;
    this.asking = new AbortController();
  }

  /**
   * @param {string} name of the point
   * @param {MarkFacts} mark as it was set by hand
   * @param {boolean} roundThing whether a pipe or plate is meant
   */
  async ask(name, mark, roundThing) {
    this.drop();
    const started = performance.now();
    const { signal } = this.asking;
    const [x, y] = mark.at;
    const point = { at: { x, y }, sd_px: mark.sd_px ?? 1, height_mm: mark.standoff_mm ?? 0, round_thing: roundThing };
    const found = await snapsOf(this.photo, point, AbortSignal.any([signal, this.signal]));
    if (!found || signal.aborted || (found.snaps.length === 0 && !found.doubt)) return;
    this.offer = { name, mark, found };
    this.overlay.show('near', nearLayer(found.snaps));
    const away = (/** @type {Snap} */ snap) => {
      const far = Math.hypot(snap.at[0] - x, snap.at[1] - y);
      return far < SAME_PX ? '' : this.doing.length(far);
    };
    this.bar.show(name, found, away);
    performance.measure('mark to offer', { start: started, end: performance.now() });
  }

  /** @param {number} index of the candidate */
  use(index) {
    const { offer } = this;
    const snap = offer?.found.snaps[index];
    if (!offer || !snap || (!offer.found.doubt && index > 0)) return;
    this.drop();
    this.doing.use(offer.name, offer.mark, snap);
  }

  keep() {
    const { offer } = this;
    if (!offer) return;
    this.drop();
    this.doing.kept(offer.name);
  }

  /** Forgets what was offered, and what is still being asked. */
  drop() {
    this.asking.abort();
    this.asking = new AbortController();
    this.offer = null;
    this.overlay.show('near', null);
    this.bar.hide();
  }
}
