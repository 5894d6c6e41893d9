/** What must close, as read: each equation with what is left over; and what follows from the sizes. */
import { statusBadge } from '../drawing/status_shape.js';
import { plusMinusText, sizeText } from '../geometry/lengths.js';
import { el } from '../page/dom.js';

/** @typedef {import('../types.js').Closure} Closure */

/**
 * @param {Closure[]} closures
 * @param {string} caption
 */
export function closureTable(closures, caption) {
  const heads = ['What must close', 'Left over', 'How it stands'].map((word) =>
    el('th', { scope: 'col' }, word),
  );
  return el(
    'div',
    { class: 'table-scroll', role: 'region', 'aria-label': caption, tabindex: 0 },
    el(
      'table',
      { class: 'closures' },
      el('thead', {}, el('tr', {}, ...heads)),
      el('tbody', {}, ...[...closures].sort(openFirst).map(row)),
    ),
  );
}

/**
 * All that must close on one wall, folded, and how far its edges are out.
 * @param {import('../types.js').WallInAlcove} wall
 */
export function wallClosures(wall) {
  const { closures, derived } = wall;
  const known = closures.filter((closure) => closure.closes !== null);
  if (known.length === 0 && derived.length === 0) return null;
  const open = known.filter((closure) => !closure.closes).length;
  const words = open ? `${open} of ${known.length} do not close` : `${known.length} close`;
  return el(
    'details',
    { class: 'closing' },
    el('summary', {}, `What must close: ${words}`),
    known.length ? closureTable(known.map(plainly), 'What must close on this wall') : null,
    derived.length ? outs(derived) : null,
  );
}

/** Which way a positive figure is and a negative one, in the words of the papers.
 * @type {Record<string, [string, string]>} */
const WAYS = {
  plumb: ['outwards going down', 'inwards going down'],
  level: ['falling to the right', 'falling to the left'],
  square: ['open', 'closed'],
};

/** @param {import('../types.js').Derived[]} derived */
function outs(derived) {
  const said = derived.map(({ what, over_mm, value_mm, u_mm }) => {
    const about = plusMinusText([-1.96 * u_mm, 1.96 * u_mm]);
    const size = sizeText(Math.abs(value_mm));
    const kind = what.replace('out of ', '').split(' ')[0] ?? '';
    const way = size === '0' ? '' : ` ${WAYS[kind]?.[value_mm < 0 ? 1 : 0] ?? ''}`;
    return el('li', {}, `${what} ${size} in${way}, over ${sizeText(over_mm)} in, ${about}`);
  });
  return el('ul', { class: 'outs' }, ...said);
}

/** Without the wall's name, which stands over the table. @param {Closure} closure */
const plainly = (closure) => ({ ...closure, name: closure.name.replace(/^[a-z-]+: /u, '') });

/** @param {Closure} one @param {Closure} other */
const openFirst = (one, other) => rank(one) - rank(other);

/** @param {Closure} closure */
const rank = ({ closes }) => (closes === false ? 0 : closes ? 1 : 2);

/** @param {Closure} closure */
function row({ name, out_mm, limit_mm, closes }) {
  const stands =
    closes === null
      ? el('span', { class: 'quiet-text' }, 'not taped yet')
      : statusBadge(closes ? 'agrees' : 'conflicts', closes ? 'closes' : 'does not close');
  return el(
    'tr',
    { class: closes === false ? 'needs-look' : null },
    el('th', { scope: 'row' }, name.replace('far-end', 'far end')),
    el(
      'td',
      { class: 'number' },
      out_mm === null ? '' : `${sizeText(out_mm)} in`,
      el('div', { class: 'quiet-text' }, `may be ${sizeText(limit_mm)}`),
    ),
    el('td', {}, stands),
  );
}
