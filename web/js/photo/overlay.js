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
