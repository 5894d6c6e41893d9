/** What lies over the photo, layer on layer; every layer says where its shapes are in the photo. */
import { fill, svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('./viewer.js').PhotoViewer} PhotoViewer */

/**
 * @typedef {object} Layer
 * @property {SVGElement[]} drawn
 * @property {(viewer: PhotoViewer) => void} place puts every shape where the photo is now
 */

/** From the lowest to the highest. */
const LAYERS = /** @type {const} */ (['measured', 'cards', 'outlines', 'suggested', 'near', 'marks']);

/** @typedef {typeof LAYERS[number]} LayerName */

export class PhotoOverlay {
  /**
   * @param {HTMLElement} place
   * @param {PhotoViewer} viewer
   */
  constructor(place, viewer) {
    this.viewer = viewer;
    /** @type {Map<LayerName, Layer>} */
    this.layers = new Map();
    this.groups = new Map(LAYERS.map((name) => [name, svg('g', { class: `layer-${name}` })]));
    place.append(svg('svg', { class: 'photo-overlay', 'aria-hidden': 'true' }, ...this.groups.values()));
    viewer.onMove(() => this.place());
  }

  /**
   * Shows a layer in place of what it showed.
   * @param {LayerName} name
   * @param {Layer | null} layer
   */
  show(name, layer) {
    const group = /** @type {SVGGElement} */ (this.groups.get(name));
    if (layer) {
      this.layers.set(name, layer);
      layer.place(this.viewer);
    } else {
      this.layers.delete(name);
    }
    fill(group, ...(layer?.drawn ?? []));
  }

  /** Puts everything where the photo is now. */
  place() {
    for (const layer of this.layers.values()) layer.place(this.viewer);
  }
}

/**
 * Moves a shape drawn round the origin to a place on the screen.
 * @param {SVGElement} drawn
 * @param {Point} screen
 */
export function moveTo(drawn, { x, y }) {
  drawn.setAttribute('transform', `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
}

/** Of a letter in the words over the photo, on average: asking the browser would lay the page out anew. */
const LETTER_PX = 7.3;
const BESIDE_PX = 10;
const RIM_PX = 4;
const LINE_PX = 16;

/**
 * Where the middle of words over the photo goes, so that none is cut off by the rim; words of what lies
 * out of sight stay there.
 * @param {string} words
 * @param {Point} screen
 * @param {PhotoViewer} viewer
 * @returns {Point}
 */
export function keptInside(words, { x, y }, viewer) {
  const { x: width, y: height } = viewer.size;
  const half = (words.length * LETTER_PX) / 2 + RIM_PX;
  if (x < 0 || x > width || y < 0 || y > height) return { x, y };
  const across = half > width / 2 ? width / 2 : Math.min(Math.max(x, half), width - half);
  return { x: across, y: Math.min(Math.max(y, LINE_PX), height - RIM_PX) };
}

/**
 * Puts the name of a mark beside it, on the side where the whole name is seen.
 * @param {SVGElement} text drawn round the mark's place
 * @param {Point} screen
 * @param {PhotoViewer} viewer
 */
export function nameBeside(text, screen, viewer) {
  const long = (text.textContent?.length ?? 0) * LETTER_PX + BESIDE_PX + RIM_PX;
  const before = screen.x + long > viewer.size.x && screen.x - long > 0;
  text.setAttribute('text-anchor', before ? 'end' : 'start');
  text.setAttribute('x', String(before ? -BESIDE_PX : BESIDE_PX));
  text.setAttribute('y', String(screen.y < BESIDE_PX + LINE_PX ? BESIDE_PX + LINE_PX : -BESIDE_PX));
}
