/** The marks that are set, the one in hand ringed. */
import { svg } from '../page/dom.js';
import { moveTo, nameBeside } from './overlay.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

export class MarkLayer {
  /**
   * @param {Record<string, import('../types.js').MarkFacts>} marks
   * @param {string} current name of the point in hand
   */
  constructor(marks, current) {
    this.marks = new Map(
      Object.entries(marks).map(([name, mark]) => [
        name,
        { at: { x: mark.at[0], y: mark.at[1] }, ...markShape(name, name === current) },
      ]),
    );
    this.drawn = [...this.marks.values()].map(({ drawn }) => drawn);
  }

  /** @param {PhotoViewer} viewer */
  place(viewer) {
    for (const mark of this.marks.values()) put(mark, viewer);
  }

  /** Moves one mark while it is dragged. @param {string} name @param {Point} image @param {PhotoViewer} viewer */
  move(name, image, viewer) {
    const mark = this.marks.get(name);
    if (!mark) return;
    mark.at = image;
    put(mark, viewer);
  }

  /**
   * The mark within reach of a screen point, nearest first.
   * @param {Point} screen
   * @param {number} reach px
   * @param {PhotoViewer} viewer
   */
  near(screen, reach, viewer) {
    let best = null;
    for (const [name, { at }] of this.marks) {
      const there = viewer.toScreen(at);
      const away = Math.hypot(there.x - screen.x, there.y - screen.y);
      if (away <= reach && (!best || away < best.away)) best = { name, away, at };
    }
    return best;
  }
}

/** @param {{at: Point, drawn: SVGElement, text: SVGElement}} mark @param {PhotoViewer} viewer */
function put({ at, drawn, text }, viewer) {
  const screen = viewer.toScreen(at);
  moveTo(drawn, screen);
  nameBeside(text, screen, viewer);
}

/** @param {string} name @param {boolean} current */
function markShape(name, current) {
  const cross = 'M-12 0 H-3 M3 0 H12 M0 -12 V-3 M0 3 V12';
  const text = svg('text', {}, name);
  const drawn = svg(
    'g',
    { class: current ? 'mark current' : 'mark', 'data-mark': name },
    svg('path', { d: cross, class: 'under' }),
    svg('path', { d: cross, class: 'over' }),
    current ? svg('circle', { r: 20, class: 'ring' }) : null,
    text,
  );
  return { drawn, text };
}
