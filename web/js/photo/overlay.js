/** What lies over the photo: outlines of the cards found, the marks that are set, the one in hand. */
import { fill, svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

export class PhotoOverlay {
  /**
   * @param {HTMLElement} place
   * @param {PhotoViewer} viewer
   */
  constructor(place, viewer) {
    this.viewer = viewer;
    this.sheet = svg('svg', { class: 'photo-overlay', 'aria-hidden': 'true' });
    place.append(this.sheet);
    /** @type {Map<string, {at: Point, drawn: SVGGElement}>} */
    this.marks = new Map();
    /** @type {{corners: Point[], drawn: SVGPolygonElement, name: SVGTextElement}[]} */
    this.cards = [];
    viewer.onMove(() => this.place());
  }

  /** @param {import('../types.js').PhotoFacts['cards']} cards */
  showCards(cards) {
    this.cards = cards.map((card) => ({
      corners: card.outline.map(([x, y]) => ({ x, y })),
      drawn: svg('polygon', { class: 'card-outline' }),
      name: svg('text', { class: 'card-name', 'text-anchor': 'middle' }, `card ${card.serial}`),
    }));
    this.#compose();
  }

  /**
   * @param {Record<string, import('../types.js').MarkFacts>} marks
   * @param {string} current name of the point in hand
   */
  showMarks(marks, current) {
    this.marks = new Map(
      Object.entries(marks).map(([name, mark]) => [
        name,
        { at: { x: mark.at[0], y: mark.at[1] }, drawn: markShape(name, name === current) },
      ]),
    );
    this.#compose();
  }

  /** Moves one mark while it is dragged. @param {string} name @param {Point} image */
  moveMark(name, image) {
    const mark = this.marks.get(name);
    if (!mark) return;
    mark.at = image;
    this.place();
  }

  /**
   * The mark within reach of a screen point, nearest first.
   * @param {Point} screen
   * @param {number} reach px
   */
  markNear(screen, reach) {
    let best = null;
    for (const [name, { at }] of this.marks) {
      const there = this.viewer.toScreen(at);
      const away = Math.hypot(there.x - screen.x, there.y - screen.y);
      if (away <= reach && (!best || away < best.away)) best = { name, away, at };
    }
    return best;
  }

  /** Puts everything where the photo is now. */
  place() {
    for (const { at, drawn } of this.marks.values()) {
      const { x, y } = this.viewer.toScreen(at);
      drawn.setAttribute('transform', `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
    }
    for (const { corners, drawn, name } of this.cards) {
      const there = corners.map((corner) => this.viewer.toScreen(corner));
      drawn.setAttribute('points', there.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' '));
      const top = there.reduce((best, corner) => (corner.y < best.y ? corner : best), there[0]);
      name.setAttribute('x', String(there.reduce((sum, corner) => sum + corner.x, 0) / there.length));
      name.setAttribute('y', String(top.y - 8));
    }
  }

  #compose() {
    const cards = this.cards.flatMap(({ drawn, name }) => [drawn, name]);
    fill(this.sheet, ...cards, ...[...this.marks.values()].map(({ drawn }) => drawn));
    this.place();
  }
}

/** @param {string} name @param {boolean} current */
function markShape(name, current) {
  const cross = 'M-12 0 H-3 M3 0 H12 M0 -12 V-3 M0 3 V12';
  return svg(
    'g',
    { class: current ? 'mark current' : 'mark', 'data-mark': name },
    svg('path', { d: cross, class: 'under' }),
    svg('path', { d: cross, class: 'over' }),
    current ? svg('circle', { r: 20, class: 'ring' }) : null,
    svg('text', { x: 10, y: -10 }, name),
  );
}
