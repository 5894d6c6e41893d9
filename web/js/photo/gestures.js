/**
 * Fingers and mouse on the photo: a tap, a pinch, a drag of a mark. A second finger ends a drag and puts
 * the mark back. Positions come from pointer events, with their fractions.
 */
import { pinched } from '../geometry/pinch.js';
import { listen } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

/**
 * @typedef {object} Doing
 * @property {(screen: Point) => {name: string, at: Point} | null} grab the mark that a drag may move
 * @property {(name: string, image: Point, screen: Point) => void} dragged
 * @property {(name: string, image: Point) => void} dropped
 * @property {(name: string, image: Point) => void} putBack
 * @property {(screen: Point, touch: boolean) => void} tapped
 */

const TAP_PX = 4;
const TAP_MS = 350;

export class Gestures {
  /**
   * @param {HTMLElement} place
   * @param {PhotoViewer} viewer
   * @param {Doing} doing
   * @param {AbortSignal} signal
   */
  constructor(place, viewer, doing, signal) {
    this.place = place;
    this.viewer = viewer;
    this.doing = doing;
    /** @type {Map<number, Point>} */
    this.down = new Map();
    /** @type {{at: Point, time: number} | null} */
    this.tap = null;
    /** @type {{name: string, at: Point, offset: Point, last: Point} | null} */
    this.drag = null;
    /** @type {{view: import('../geometry/pinch.js').View, before: [Point, Point]} | null} */
    this.pinch = null;
    const early = { capture: true };
    listen(place, 'pointerdown', (event) => this.#pressed(event), signal, early);
    listen(place, 'pointermove', (event) => this.#moved(event), signal, early);
    listen(place, 'pointerup', (event) => this.#lifted(event), signal, early);
    listen(place, 'pointercancel', (event) => this.#lost(event), signal, early);
  }

  /** @param {PointerEvent} event */
  #pressed(event) {
    if (event.button !== 0) return;
    const at = this.viewer.pointerAt(event);
    this.down.set(event.pointerId, at);
    if (this.down.size > 1) {
      this.tap = null;
      this.#putBack();
      this.#startPinch();
      return;
    }
    this.tap = { at, time: event.timeStamp };
    const grabbed = this.doing.grab(at);
    if (grabbed) this.#startDrag(event, grabbed, at);
  }

  /** @param {PointerEvent} event @param {{name: string, at: Point}} grabbed @param {Point} at */
  #startDrag(event, grabbed, at) {
    const there = this.viewer.toScreen(grabbed.at);
    this.drag = { ...grabbed, offset: { x: there.x - at.x, y: there.y - at.y }, last: grabbed.at };
    this.viewer.followDrags(false);
    this.place.setPointerCapture(event.pointerId);
  }

  /** @param {PointerEvent} event */
  #moved(event) {
    if (!this.down.has(event.pointerId)) return;
    const at = this.viewer.pointerAt(event);
    this.down.set(event.pointerId, at);
    if (this.tap && Math.hypot(at.x - this.tap.at.x, at.y - this.tap.at.y) > TAP_PX) this.tap = null;
    if (this.pinch && this.down.size === 2) {
      this.viewer.show(pinched(this.pinch.view, this.pinch.before, this.#fingers(), this.viewer.limits));
    } else if (this.drag && !this.tap) {
      const screen = { x: at.x + this.drag.offset.x, y: at.y + this.drag.offset.y };
      this.drag.last = this.viewer.toImage(screen);
      this.doing.dragged(this.drag.name, this.drag.last, screen);
    }
  }

  /** @param {PointerEvent} event */
  #lifted(event) {
    if (!this.down.delete(event.pointerId)) return;
    this.pinch = null;
    const { drag, tap } = this;
    this.#endDrag();
    if (tap && event.timeStamp - tap.time < TAP_MS) {
      if (drag) this.doing.putBack(drag.name, drag.at);
      this.doing.tapped(this.viewer.pointerAt(event), event.pointerType !== 'mouse');
    } else if (drag) {
      this.doing.dropped(drag.name, drag.last);
    }
    this.tap = null;
  }

  /** @param {PointerEvent} event */
  #lost(event) {
    this.down.delete(event.pointerId);
    this.tap = null;
    this.pinch = null;
    this.#putBack();
  }

  #putBack() {
    if (this.drag) this.doing.putBack(this.drag.name, this.drag.at);
    this.#endDrag();
  }

  #endDrag() {
    if (this.drag) this.viewer.followDrags(true);
    this.drag = null;
  }

  #startPinch() {
    if (this.down.size === 2) this.pinch = { view: this.viewer.view, before: this.#fingers() };
  }

  /** Both fingers from the middle of the viewer. @returns {[Point, Point]} */
  #fingers() {
    const { clientWidth, clientHeight } = this.place;
    const [one, two] = [...this.down.values()].map(({ x, y }) => ({
      x: x - clientWidth / 2,
      y: y - clientHeight / 2,
    }));
    return [one, two];
  }
}
