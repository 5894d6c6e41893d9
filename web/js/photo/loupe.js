/** A round glass over the finger that shows, four times as large, what the finger hides. */
import { el } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */

const SIZE = 160;
const ENLARGED = 4;
const ABOVE = 90;

export class Loupe {
  /** @param {HTMLElement} place */
  constructor(place) {
    this.canvas = el('canvas', {
      class: 'loupe',
      width: SIZE,
      height: SIZE,
      hidden: true,
      'aria-hidden': 'true',
    });
    place.append(this.canvas);
  }

  /**
   * @param {HTMLCanvasElement} source the photo's canvas
   * @param {Point} at screen px within it
   */
  show(source, at) {
    const { canvas } = this;
    const density = source.width / Math.max(source.clientWidth, 1);
    const seen = (SIZE / ENLARGED) * density;
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
    pen.imageSmoothingEnabled = false;
    pen.clearRect(0, 0, SIZE, SIZE);
    pen.drawImage(source, at.x * density - seen / 2, at.y * density - seen / 2, seen, seen, 0, 0, SIZE, SIZE);
    cross(pen);
    canvas.hidden = false;
    const above = at.y - ABOVE - SIZE / 2 > 0 ? -ABOVE : ABOVE;
    canvas.style.transform = `translate(${at.x - SIZE / 2}px, ${at.y + above - SIZE / 2}px)`;
  }

  hide() {
    this.canvas.hidden = true;
  }
}

/** @param {CanvasRenderingContext2D} pen */
function cross(pen) {
  const middle = SIZE / 2;
  for (const [colour, width] of /** @type {[string, number][]} */ ([
    ['#ffffff', 3],
    ['#d55e00', 1],
  ])) {
    pen.strokeStyle = colour;
    pen.lineWidth = width;
    pen.beginPath();
    pen.moveTo(middle, 0);
    pen.lineTo(middle, SIZE);
    pen.moveTo(0, middle);
    pen.lineTo(SIZE, middle);
    pen.stroke();
  }
}
