/** What a plan comes to beside its panels: papers, warnings, price, material. */
import { address } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

const PAPERS = /** @type {const} */ ([
  ['cutting-sheets.pdf', 'Cutting sheets (PDF)', 'one page a panel, front and back, marks in order'],
  ['estimate.pdf', 'Estimate (PDF)', 'for the customer'],
  ['order.csv', 'Order (CSV)', 'sheets with hand and finished edges'],
  ['panels.json', 'Plan (JSON)', 'everything, for other programs'],
]);

/** @param {string} job */
export function papers(job) {
  const items = PAPERS.map(([file, word, about]) =>
    el(
      'li',
      {},
      el('a', { class: 'button', href: address(`/jobs/${job}/documents/${file}`), 'data-paper': file }, word),
      ` ${about}`,
    ),
  );
  return el(
    'div',
    {},
    el('ul', { class: 'papers' }, ...items),
    el(
      'p',
      { class: 'caution' },
      'Two people and gloves for every sheet; blade guards on. Look for pipes and wires behind ',
      'every hole; water and power off. Local codes and the sheet maker’s written instructions govern.',
    ),
  );
}

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
  const { currency } = price;
  const range = (/** @type {string} */ low, /** @type {string} */ high) =>
    low === high ? `${low}` : `${low} – ${high}`;
  const rows = price.lines.map((/** @type {any} */ line) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, line.item),
      el('td', { class: 'number' }, String(line.quantity)),
      el('td', { class: 'number' }, range(line.low, line.high)),
    ),
  );
  const total =
    price.figure === null
      ? `Estimate ${range(price.low, price.high)} ${currency}`
      : `${price.figure} ${currency}`;
  const head = el(
    'thead',
    {},
    el('tr', {}, ...['Item', 'Number', currency].map((word) => el('th', { scope: 'col' }, word))),
  );
  return el(
    'div',
    {},
    el('p', { class: 'total' }, total),
    scrolled('Price, line by line', el('table', {}, head, el('tbody', {}, ...rows))),
    price.unpriced.length ? el('p', {}, `Without a price: ${price.unpriced.join(', ')}.`) : null,
  );
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
