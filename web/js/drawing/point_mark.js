/** A marked point on the wall drawing: touching it opens a photo at that point. */
import { svg } from '../page/dom.js';

/** @typedef {import('../types.js').Point} Point */

/**
 * @param {string} name
 * @param {Point} at px
 * @param {{guessed: boolean, href: string | null, fixture: boolean}} look
 */
export function pointMark(name, at, look) {
  const cross = look.fixture
    ? [
        svg('circle', { r: 8, class: 'pipe' }),
        svg('path', { d: 'M-12 0 H12 M0 -12 V12', class: 'pipe-axes' }),
      ]
    : [svg('path', { d: 'M-5 -5 L5 5 M-5 5 L5 -5', class: 'cross' })];
  const place = `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`;
  const touch = svg('circle', { r: 14, class: 'touch-point' });
  const kind = look.guessed ? 'point guessed' : 'point';
  if (!look.href) return svg('g', { class: kind, transform: place, 'aria-hidden': 'true' }, ...cross);
  const label = `Point ${name}: open it in the photo`;
  return svg(
    'a',
    { href: look.href, class: kind, transform: place, 'aria-label': label, tabindex: -1 },
    touch,
    ...cross,
  );
}
