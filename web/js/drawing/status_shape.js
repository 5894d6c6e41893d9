/** How a size stands, as a shape that tells without colour: used on drawings, in tables and verdicts. */
import { el, svg } from '../page/dom.js';

/** @typedef {import('../types.js').Status} Status */

/** Statuses that ask for another look. */
export const NEEDS_LOOK = new Set(['conflicts', 'unsure']);

/**
 * Whether a size asks for one: also one that nothing else checks, where it contradicts another such; none that
 * two have taped alike, and none that somebody lets stand.
 * @param {import('../types.js').SizeReport} size
 * @param {import('../types.js').Gate | null} gate of its wall
 */
export const asksForLook = ({ name, status, suspect }, gate) =>
  (NEEDS_LOOK.has(status) || (status === 'tape only' && suspect !== null)) && isHeld(name, gate);

/**
 * Whether something keeps a size from the saw.
 * @param {string} name
 * @param {import('../types.js').Gate | null} gate of its wall
 */
export const isHeld = (name, gate) => gate?.blocking.some((held) => held.dimension === name) ?? true;

/**
 * The shape round a centre: disc with tick, triangle, crossed octagon, ring, half-filled square.
 * @param {string} status
 * @param {number} x
 * @param {number} y
 * @param {number} r
 */
export function statusShape(status, x, y, r) {
  return svg(
    'g',
    {
      class: `shape ${slug(status)}`,
      transform: `translate(${x} ${y}) scale(${r / 8})`,
      'aria-hidden': 'true',
    },
    ...(SHAPES[status] ?? SHAPES.none)(),
  );
}

/**
 * Word, shape and colour together, as one piece of text.
 * @param {string} status
 * @param {string} [word] when it is not the status itself
 */
export function statusBadge(status, word = status) {
  return el('span', { class: `badge ${slug(status)}` }, badgeShape(status), el('span', {}, word));
}

/**
 * The shape alone, in a line of text.
 * @param {string} status
 */
export function badgeShape(status) {
  const attributes = { viewBox: '-9 -9 18 18', class: 'badge-shape', 'aria-hidden': 'true', focusable: 'false' };
  return svg('svg', attributes, statusShape(status, 0, 0, 8));
}

/** @param {string} status */
export const slug = (status) => status.replace(/\s+/gu, '-');

/** @type {Record<string, () => SVGElement[]>} */
const SHAPES = {
  agrees: () => [
    svg('circle', { r: 8, class: 'body' }),
    svg('path', { d: 'M-4 0.5 L-1 3.5 L4 -3', class: 'sign' }),
  ],
  unsure: () => [
    svg('path', { d: 'M0 -8.5 L9 7.5 L-9 7.5 Z', class: 'body' }),
    svg('path', { d: 'M0 -3 L0 2', class: 'sign' }),
    svg('circle', { cy: 5, r: 1, class: 'dot' }),
  ],
  conflicts: () => [
    svg('path', { d: 'M-3.4 -8.2 H3.4 L8.2 -3.4 V3.4 L3.4 8.2 H-3.4 L-8.2 3.4 V-3.4 Z', class: 'body' }),
    svg('path', { d: 'M-3.4 -3.4 L3.4 3.4 M3.4 -3.4 L-3.4 3.4', class: 'sign' }),
  ],
  'photo only': () => [svg('circle', { r: 7, class: 'ring' }), svg('circle', { r: 2.6, class: 'dot' })],
  'tape only': () => [
    svg('rect', { x: -7, y: -7, width: 14, height: 14, class: 'ring' }),
    svg('rect', { x: -7, y: 0, width: 14, height: 7, class: 'half' }),
  ],
  open: () => [
    svg('circle', { r: 8, class: 'body' }),
    svg('path', { d: 'M-4 0.5 L-1 3.5 L4 -3', class: 'sign' }),
  ],
  shut: () => [
    svg('rect', { x: -8, y: -8, width: 16, height: 16, class: 'body' }),
    svg('path', { d: 'M-4 0 H4', class: 'sign' }),
  ],
  none: () => [svg('path', { d: 'M-6 0 H6', class: 'ring' })],
};
