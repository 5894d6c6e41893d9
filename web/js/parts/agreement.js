/** How the walls agree with one another: what must close between them, conflicts by name, the report. */
import { address } from '../api.js';
import { asksForLook, statusBadge } from '../drawing/status_shape.js';
import { wallWords } from '../drawing/words.js';
import { button, el } from '../page/dom.js';
import { ended } from '../readings/verdict.js';
import { asSeen } from '../state/settings.js';
import { closureTable } from './closures.js';

/** @typedef {import('../state/job_facts.js').JobFacts} JobFacts */

const PAPERS = /** @type {const} */ ([
  ['check.pdf', 'Cross-check report (PDF)'],
  ['check.csv', 'Table (CSV)'],
  ['check.json', 'Figures (JSON)'],
]);

/** @type {[string, string][]} */
const COUNTED = [
  ['agrees', 'agree'],
  ['tape only', 'by tape only'],
  ['unsure', 'unsure, but taped twice alike'],
  ['photo only', 'by photo only'],
];

/**
 * @param {JobFacts} facts whose alcove is judged as a whole
 * @param {(wall: string, size: string) => void} openSize
 * @param {AbortSignal} signal
 */
export function agreement(facts, openSize, signal) {
  const { alcove } = facts;
  if (!alcove) return el('p', { class: 'quiet-text' }, 'Nothing measured yet.');
  const looks = alcove.walls.flatMap((wall) =>
    wall.dimensions
      .filter((size) => asksForLook(size, wall.gate))
      .map((size) => ({ wall, size })),
  );
  return el(
    'div',
    {},
    standing(
      alcove,
      looks.map(({ size }) => size),
    ),
    looks.length
      ? el(
          'ul',
          { class: 'looks' },
          ...looks.map(({ wall, size }) => look(wall, size, facts, openSize, signal)),
        )
      : null,
    between(alcove),
    alcove.walls.some((wall) => !wall.refused) ? papers(facts.id) : null,
  );
}

/** @param {import('../types.js').Alcove} alcove @param {import('../types.js').SizeReport[]} looks */
function standing(alcove, looks) {
  const sizes = alcove.walls.flatMap((wall) => wall.dimensions);
  const stood = new Set(
    alcove.walls.flatMap((wall) => wall.dimensions.filter(({ name }) => wall.let_stand.includes(name))),
  );
  const known = sizes.filter((size) => !isUntaped(size));
  const count = (/** @type {string} */ status) =>
    known.filter((size) => size.status === status && !looks.includes(size) && !stood.has(size)).length;
  const outvoted = known.filter(({ status, suspect }) => status === 'agrees' && suspect !== null).length;
  const counts = /** @type {[number, string][]} */ ([
    ...COUNTED.map(([status, word]) => [count(status), word]),
    [outvoted, 'of these with a reading that does not fit'],
    [stood.size, 'let stand by override'],
    [sizes.length - known.length, 'to tape'],
  ]);
  const words = counts.filter(([number]) => number).map(([number, word]) => `${number} ${word}`);
  const scale = alcove.print_scale
    ? el(
        'p',
        { class: 'why' },
        `Photos and tape differ by one factor (tape is ${alcove.print_scale.toFixed(4)} of photo): `,
        'lay a ruler along the bars of the card.',
      )
    : null;
  if (known.length === 0) return el('p', { class: 'quiet-text' }, 'No size is measured or taped yet.');
  const apart = alcove.across.some((closure) => closure.closes === false);
  const worst = looks.some(({ status }) => status === 'conflicts') ? 'conflicts' : 'unsure';
  const badge = looks.length
    ? statusBadge(worst, `${looks.length} to look at`)
    : apart
      ? statusBadge('unsure', 'the walls do not meet')
      : count('agrees')
        ? statusBadge('open', stood.size + outvoted ? 'nothing else conflicts' : 'nothing conflicts')
        : el('b', {}, 'Nothing checks another yet');
  return el('div', {}, el('p', {}, badge, words.length ? `; ${words.join(', ')}.` : ''), scale);
}

/** Nothing tells this size yet: it could be known by tape alone. @param {import('../types.js').SizeReport} size */
const isUntaped = ({ status, tape_mm }) => status === 'tape only' && tape_mm === null;

/**
 * @param {import('../types.js').WallInAlcove} wall
 * @param {import('../types.js').SizeReport} size
 * @param {JobFacts} facts
 * @param {(wall: string, size: string) => void} openSize
 * @param {AbortSignal} signal
 */
function look(wall, size, facts, openSize, signal) {
  const name = `${size.name}, ${wallWords(wall)} wall`;
  const open = button(name, () => openSize(wall.id, size.name), signal, { class: 'size-button' });
  return el(
    'li',
    {},
    statusBadge(size.status),
    open,
    el('span', { class: 'why' }, says(wall, size, facts)),
  );
}

/**
 * @param {import('../types.js').WallInAlcove} wall
 * @param {import('../types.js').SizeReport} size
 * @param {JobFacts} facts
 */
function says(wall, size, facts) {
  const clashes = wall.readings
    .filter((reading) => reading.id === size.suspect?.reading)
    .flatMap((reading) => reading.clashes_with)
    .map((id) => readingWords(wall, id, facts));
  const said = ended(size.suspect?.text ?? 'Neither agrees nor clearly conflicts: tape it again.');
  if (clashes.length === 0 || /^(contradicts|this one or) /u.test(said)) return said;
  return `${said} It contradicts ${clashes.join(' and ')}.`;
}

/**
 * A reading by its size and wall; of another wall the id carries that wall's name.
 * @param {import('../types.js').WallInAlcove} wall
 * @param {string} id
 * @param {JobFacts} facts
 */
function readingWords(wall, id, facts) {
  for (const { facts: other } of facts.inOrder()) {
    const own = other.name === wall.name ? id : id.replace(`${other.name}: `, '');
    const reading = other.readings.find((one) => one.id === own);
    if (!reading || (other.name !== wall.name && own === id)) continue;
    return `${reading.dimension} on the ${wallWords(other)} wall`;
  }
  return 'another reading';
}

/** @param {import('../types.js').Alcove} alcove */
function between(alcove) {
  if (alcove.across.length === 0) return null;
  const open = alcove.across.filter((closure) => closure.closes === false).length;
  const known = alcove.across.filter((closure) => closure.closes !== null).length;
  const words = open
    ? `${open} of ${known} do not close`
    : known
      ? `all ${known} that are taped close`
      : 'not taped yet';
  return el(
    'details',
    { open: open > 0 },
    el('summary', {}, 'Between the walls: ', words),
    closureTable(alcove.across, 'What must close between the walls'),
  );
}

/** @param {string} job */
function papers(job) {
  return el(
    'ul',
    { class: 'papers' },
    ...PAPERS.map(([name, words]) =>
      el('li', {}, el('a', { href: address(asSeen(`/jobs/${job}/check/${name}`)), class: 'button' }, words)),
    ),
  );
}
