/**
 * The photo on the screen: tiles by OpenSeadragon, and the way between image and screen.
 *
 * Image coordinates put (0, 0) at the centre of the top left pixel, the viewer's at its corner.
 * Screen coordinates are CSS pixels from the top left of the viewer.
 */
import { address } from '../api.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../geometry/pinch.js').View} View */

const CENTRE = 0.5;
/**
 * The library drags the photo; taps and pinches are this project's own. A drag is followed at once only
 * where flicking is on, so it is on, from a speed that no hand reaches.
 */
const GESTURES = Object.freeze({
  clickToZoom: false,
  dblClickToZoom: false,
  dblClickDragToZoom: false,
  pinchToZoom: false,
  flickEnabled: true,
  flickMinSpeed: 1e9,
});
const MOST_SCALE = 12;
const TILE_PX = 510;
const TILE_OVERLAP_PX = 1;
const LEAST_OF_FIT = 0.5;
const ROOM_AROUND = 0.8;
/** A namespace in which no element means anything to the browser. */
const NO_STYLE = 'urn:tapeproof:stand-in';

/* The library is a classic script that makes one global. */
const OSD = /** @type {any} */ (globalThis).OpenSeadragon;

/**
 * The photo's tiles as the service cuts them: 510 pixels with one of overlap, halved at each level.
 * @param {import('../types.js').PhotoFacts} photo
 */
function tilesOf(photo) {
  return {
    width: photo.width,
    height: photo.height,
    tileSize: TILE_PX,
    tileOverlap: TILE_OVERLAP_PX,
    minLevel: 0,
    maxLevel: Math.ceil(Math.log2(Math.max(photo.width, photo.height))),
    getTileUrl: (/** @type {number} */ level, /** @type {number} */ x, /** @type {number} */ y) =>
      address(`/photos/${photo.id}/tiles/${level}/${x}_${y}.jpg`),
  };
}

export class PhotoViewer {
  /**
   * @param {HTMLElement} place
   * @param {import('../types.js').PhotoFacts} photo
   * @param {AbortSignal} signal
   */
  constructor(place, photo, signal) {
    this.place = place;
    this.photo = photo;
    standInForStyle();
    this.viewer = OSD({
      element: place,
      tileSources: tilesOf(photo),
      drawer: 'canvas',
      showNavigationControl: false,
      keyboardNavEnabled: false,
      tabIndex: '',
      animationTime: 0.12,
      springStiffness: 12,
      immediateRender: true,
      visibilityRatio: 0,
      constrainDuringPan: false,
      maxZoomPixelRatio: MOST_SCALE,
      minZoomImageRatio: LEAST_OF_FIT,
      preserveImageSizeOnResize: true,
      gestureSettingsMouse: GESTURES,
      gestureSettingsTouch: GESTURES,
      gestureSettingsPen: GESTURES,
    });
    this.viewer.addHandler('canvas-pinch', (/** @type {any} */ event) => {
      event.preventDefaultPanAction = true;
      event.preventDefaultZoomAction = true;
    });
    signal.addEventListener('abort', () => this.viewer.destroy(), { once: true });
  }

  /** Width and height of the photo's place on the screen. @returns {Point} */
  get size() {
    return this.viewer.viewport.getContainerSize();
  }

  /** Settles when the photo can be seen and touched. */
  opened() {
    return new Promise((done, fail) => {
      this.viewer.addOnceHandler('open', () => done(undefined));
      this.viewer.addOnceHandler('open-failed', () => fail(new Error('The photo cannot be shown.')));
    });
  }

  /** @param {() => void} moved called whenever the photo lies otherwise on the screen */
  onMove(moved) {
    this.viewer.addHandler('update-viewport', moved);
    this.viewer.addHandler('resize', moved);
  }

  /** @param {Point} image @returns {Point} screen */
  toScreen(image) {
    const at = this.viewer.viewport.imageToViewerElementCoordinates(
      new OSD.Point(image.x + CENTRE, image.y + CENTRE),
    );
    return { x: at.x, y: at.y };
  }

  /** @param {Point} screen @returns {Point} image */
  toImage(screen) {
    const at = this.viewer.viewport.viewerElementToImageCoordinates(new OSD.Point(screen.x, screen.y));
    return { x: at.x - CENTRE, y: at.y - CENTRE };
  }

  /** Screen pixels for each image pixel. */
  get scale() {
    const { viewport } = this.viewer;
    return viewport.viewportToImageZoom(viewport.getZoom(true));
  }

  /** The image point under the middle of the viewer. */
  get aim() {
    const { x, y } = this.viewer.viewport.getContainerSize();
    return this.toImage({ x: x / 2, y: y / 2 });
  }

  /** What is seen now. @returns {View} */
  get view() {
    return { scale: this.scale, centre: this.aim };
  }

  /** The least and the most scale that the viewer allows. */
  get limits() {
    const { viewport } = this.viewer;
    return {
      least: viewport.viewportToImageZoom(viewport.getMinZoom()),
      most: viewport.viewportToImageZoom(viewport.getMaxZoom()),
    };
  }

  /**
   * Shows the photo at a scale with an image point in the middle, at once or gliding.
   * @param {View} view
   * @param {boolean} [atOnce]
   */
  show(view, atOnce = true) {
    const { viewport } = this.viewer;
    const centre = viewport.imageToViewportCoordinates(view.centre.x + CENTRE, view.centre.y + CENTRE);
    viewport.zoomTo(viewport.imageToViewportZoom(view.scale), null, atOnce);
    viewport.panTo(centre, atOnce);
    if (atOnce) this.viewer.forceRedraw();
  }

  /** Shows a part of the photo as large as it fits with room around. @param {import('../types.js').Pair[]} points */
  showAll(points) {
    const [x, y] = [0, 1].map((axis) => points.map((at) => at[axis]));
    const middle = (/** @type {number[]} */ row) => (Math.min(...row) + Math.max(...row)) / 2;
    const long = (/** @type {number[]} */ row) => Math.max(...row) - Math.min(...row) + 1;
    const scale = ROOM_AROUND * Math.min(this.size.x / long(x), this.size.y / long(y));
    this.show({ scale, centre: { x: middle(x), y: middle(y) } });
  }

  /** The whole photo. */
  fit() {
    this.viewer.viewport.goHome(true);
  }

  /**
   * Where the pointer is, in screen coordinates with their fractions.
   * @param {PointerEvent} event
   * @returns {Point}
   */
  pointerAt(event) {
    const box = this.place.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  /** The canvas that the photo is drawn on, for the loupe. @returns {HTMLCanvasElement} */
  get canvas() {
    return this.viewer.drawer.canvas;
  }

  /** Whether the photo follows a dragging finger. @param {boolean} does */
  followDrags(does) {
    this.viewer.setMouseNavEnabled(does);
  }
}

/**
 * The library puts a style of its own into the page unless it finds one with this name, and the content
 * security policy rightly refuses it. What it says is in photo.css.
 */
function standInForStyle() {
  const name = 'data-openseadragon-mobile-css';
  if (document.head.querySelector(`style[${name}]`)) return;
  const standIn = document.createElementNS(NO_STYLE, 'style');
  standIn.setAttribute(name, '');
  document.head.append(standIn);
}
