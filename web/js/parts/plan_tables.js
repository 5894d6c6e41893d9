/** What a plan comes to beside its panels: warnings, price, material. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @param {any} plan */
export function warnings(plan) {
  if (plan.warnings.length === 0) return el('p', {}, statusBadge('open', 'nothing'));
  const items = plan.warnings.map((/** @type {any} */ one) =>
    el('li', {}, statusBadge('unsure', one.wall ?? 'job'), ` ${one.text}`),
  );
  return el('ul', { class: 'papers' }, ...items);
}

/** @param {any} price */
export function prices(price) {
  if (price.lines.length === 0) {
    return el('p', {}, 'Nothing is priced: the plan has no price book. It is set below, as CSV.');
  }
  const { currency } = price;
  const range = (/** @type {string} */ low, /** @type {string} */ high) =>
    low === high ? money(low) : `${money(low)} – ${money(high)}`;
  const rows = price.lines.map((/** @type {any} */ line) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, line.item),
      el('td', { class: 'number money' }, String(line.quantity)),
      el('td', { class: 'number money' }, range(line.low, line.high)),
    ),
  );
  const total =
    price.figure === null
      ? `Estimate ${range(price.low, price.high)} ${currency}`
      : `${money(price.figure)} ${currency}`;
  const head = el(
    'thead',
    {},
    el(
      'tr',
      {},
      el('th', { scope: 'col' }, 'Item'),
      ...['Number', currency].map((word) => el('th', { scope: 'col', class: 'money' }, word)),
    ),
  );
  return el(
    'div',
    {},
    el('p', { class: 'total' }, total),
    scrolled('Price, line by line', el('table', {}, head, el('tbody', {}, ...rows))),
    price.unpriced.length ? el('p', {}, `Without a price: ${price.unpriced.join(', ')}.`) : null,
  );
}

/** With its cents and its thousands, from the digits as they came: money is never a float. @param {string} amount */
function money(amount) {
  const [whole, cents = ''] = amount.split('.');
  return `${whole.replaceAll(/\B(?=(?:\d{3})+$)/gu, ',')}.${cents.padEnd(2, '0')}`;
}

/** @param {any} plan */
export function takeoff(plan) {
  const rows = plan.takeoff.map((/** @type {any} */ line) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, line.item),
      el('td', {}, `${line.packages} × ${line.package}`),
      el('td', {}, line.why),
    ),
  );
  const strips = [
    ...plan.backers.map((/** @type {any} */ one) => `Backer, ${one.corner} corner: ${one.length}`),
    ...plan.trims.map((/** @type {any} */ one) => `${one.kind}, ${one.wall} ${one.edge}: ${one.length}`),
  ];
  const head = el(
    'thead',
    {},
    el('tr', {}, ...['Item', 'Buy', 'Why'].map((word) => el('th', { scope: 'col' }, word))),
  );
  return el(
    'div',
    {},
    scrolled('Material, line by line', el('table', {}, head, el('tbody', {}, ...rows))),
    strips.length ? el('ul', {}, ...strips.map((text) => el('li', {}, text))) : null,
  );
}

/** @param {string} label @param {HTMLElement} table */
const scrolled = (label, table) =>
  el('div', { class: 'table-scroll', tabindex: 0, role: 'region', 'aria-label': label }, table);
