/** How often photo intervals held what the tape proved, phone by phone. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @typedef {{phone: string, held: number, count: number, low: number, high: number, bears_out: boolean,
 *   more: boolean, enough: boolean}} Phone */

/** @param {string} shop @param {number} sheets @param {Phone[]} phones */
export function fieldTable(shop, sheets, phones) {
  const heads = ['Phone', 'Held', 'So the true share is'].map((word) => el('th', { scope: 'col' }, word));
  return el(
    'div',
    { class: 'table-scroll', role: 'region', 'aria-label': 'Photos held against the tape', tabindex: 0 },
    el(
      'table',
      {},
      el('caption', {}, `${shop && `${shop}: `}${sheets} released ${sheets === 1 ? 'sheet' : 'sheets'}.`),
      el('thead', {}, el('tr', {}, ...heads)),
      el('tbody', {}, ...phones.map(row)),
    ),
  );
}

/** @param {Phone} phone */
function row({ phone, held, count, low, high, bears_out, more, enough }) {
  const share = ((100 * held) / count).toFixed(0);
  const [from, to] = [low, high].map((value) => `${(100 * value).toFixed(0)} %`);
  return el(
    'tr',
    {},
    el('th', { scope: 'row' }, phone),
    el('td', { class: 'number' }, `${held} of ${count} (${share} %)`),
    el(
      'td',
      {},
      `${from} to ${to} `,
      more ? statusBadge('agrees', 'more than 95 %, wider than need be') : borneOut(bears_out, enough),
    ),
  );
}

/** Few sizes contradict nothing, and prove as little. @param {boolean} bears_out @param {boolean} enough */
function borneOut(bears_out, enough) {
  if (!bears_out) return statusBadge('unsure', '95 % is not borne out');
  return enough ? statusBadge('agrees', '95 % is borne out') : statusBadge('photo only', 'too few to tell');
}
