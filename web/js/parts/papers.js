/** Every paper of a plan, by what it is for. */
import { address } from '../api.js';
import { el, listen } from '../page/dom.js';
import { choice, field } from '../page/field.js';
import { asSeen, keepSetting, setting } from '../state/settings.js';

/** @type {[string, [string, string, string][]][]} */
const GROUPS = [
  [
    'To cut and hang',
    [
      ['cutting-sheets.pdf', 'Cutting sheets (PDF)', 'front, back and steps of each panel'],
      ['templates.pdf', 'Templates 1:1 (PDF)', 'holes and returns; measure the bars first'],
      ['install.pdf', 'Install sheet (PDF)', 'what lies in the room, cautions first'],
    ],
  ],
  [
    'To order',
    [
      ['order.pdf', 'Order list (PDF)', 'sheets with hand and finished edges, trims, material'],
      ['order.csv', 'Order list (CSV)', 'the same, for a spreadsheet'],
    ],
  ],
  [
    'For the customer',
    [
      ['estimate.pdf', 'Estimate (PDF)', 'price, what drives it, what cannot be seen'],
      ['elevation.pdf', 'Elevation to sign (PDF)', 'the walls in plain words'],
    ],
  ],
  [
    'To check',
    [
      ['check.pdf', 'Cross-check (PDF)', 'photo, tape and agreement, wall by wall'],
      ['check.csv', 'Cross-check (CSV)', 'the same, for a spreadsheet'],
    ],
  ],
  [
    'For other programs',
    [
      ['elevation.svg', 'Elevation (SVG)', 'the panels unfolded'],
      ['panels.json', 'Plan (JSON)', 'everything'],
    ],
  ],
];

/**
 * @param {string} job
 * @param {any} plan
 * @param {boolean} all or those alone that keep back what is expected
 * @param {() => void} resized what follows once other paper was chosen
 * @param {AbortSignal} signal
 */
export function papers(job, plan, all, resized, signal) {
  const item = (/** @type {[string, string, string]} */ [file, word, about]) =>
    el(
      'li',
      {},
      el('a', { class: 'button', href: where(job, file), 'data-paper': file }, word),
      ` ${about}`,
    );
  const shown = all ? GROUPS : GROUPS.filter(([title]) => title === 'To check');
  const groups = shown.map(([title, files]) => [
    el('h3', {}, title),
    el('ul', { class: 'papers' }, ...files.map(item)),
  ]);
  const drawings = all ? plan.panels.map((/** @type {any} */ panel) => drawingsOf(job, panel)) : [];
  return el(
    'div',
    {},
    paperSize(resized, signal),
    ...groups.flat(),
    el('ul', { class: 'papers' }, ...drawings),
    cautions(),
  );
}

/** @param {() => void} resized @param {AbortSignal} signal */
function paperSize(resized, signal) {
  const sizes = /** @type {[string, string][]} */ ([
    ['letter', 'letter'],
    ['a4', 'A4'],
  ]);
  const select = choice(sizes, setting('paper'));
  listen(
    select,
    'change',
    () => {
      keepSetting('paper', select.value);
      resized();
    },
    signal,
  );
  return field('Printed on', select);
}

const onPaper = (/** @type {string} */ file) =>
  file.endsWith('.pdf') && setting('paper') !== 'letter' ? `?paper=${setting('paper')}` : '';

/** The cross-check is of the readings; the other papers are of the plan. */
function where(/** @type {string} */ job, /** @type {string} */ file) {
  const folder = file.startsWith('check.') ? 'check' : 'documents';
  const path = `/jobs/${job}/${folder}/${file}${onPaper(file)}`;
  return address(folder === 'check' ? asSeen(path) : path);
}

/** @param {string} job @param {any} panel */
function drawingsOf(job, panel) {
  const name = panel.wall.replace(' ', '-');
  const file = (/** @type {string} */ kind) =>
    el(
      'a',
      {
        class: 'button',
        href: address(`/jobs/${job}/documents/${name}.${kind}`),
        'data-paper': `${name}.${kind}`,
        'aria-label': `${kind.toUpperCase()} of the ${panel.wall} panel`,
      },
      kind.toUpperCase(),
    );
  return el('li', { class: 'drawing-files' }, file('dxf'), file('svg'), ` ${panel.wall} panel, full size`);
}

function cautions() {
  return el(
    'p',
    { class: 'caution' },
    'Two people and gloves for every sheet; blade guards on. Look for pipes and wires behind ',
    'every hole; water and power off. Local codes and the sheet maker’s written instructions govern.',
  );
}
