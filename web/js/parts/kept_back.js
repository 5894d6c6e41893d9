/** What the plan's page says in place of what it keeps back until every size is taped. */
import { statusBadge } from '../drawing/status_shape.js';
import { isHidden, standingReadings, wallWords } from '../drawing/words.js';
import { el } from '../page/dom.js';
import { colleague } from '../readings/verdict.js';
import { allIsBlind } from '../state/settings.js';
import { atSize } from './held_sizes.js';

/**
 * Whether a size is still to be taped, or taped again, of which this page may tell nothing.
 * @param {import('../state/job_facts.js').JobFacts} facts
 */
export function keptBack(facts) {
  return allIsBlind() && facts.inOrder().some(({ report }) => report?.dimensions.some(isHidden) ?? false);
}

export const keptBackWords = () => el('p', { class: 'quiet-text' }, 'Told when every size is taped.');

/** Once on the page: why, and how to see it. */
export const whyKeptBack = () =>
  el(
    'p',
    { class: 'quiet-text' },
    'What hangs on sizes that are still to be taped, or to be taped again, is kept back, so that nobody writes ',
    'what is expected. ',
    'The settings, above, say where it is told.',
  );

/**
 * In place of a panel that hangs on sizes that are not taped yet, or are in doubt.
 * @param {string} job
 * @param {import('../state/job_facts.js').WallState} state of its wall
 * @param {string[]} sizes
 * @param {Node | null} taping what can be taped of it all the same
 */
export function keptBackCard(job, state, sizes, taping) {
  const { facts } = state;
  const [key, wall] = [facts.name, wallWords(facts)];
  const untaped = sizes.filter((size) => standingReadings(facts, size).length === 0);
  const doubted = sizes.filter((size) => !untaped.includes(size));
  return el(
    'section',
    { class: 'box panel-card', id: `panel-${key}`, tabindex: -1, 'aria-label': `${wall} panel` },
    el('h2', {}, `${wall[0].toUpperCase()}${wall.slice(1)} panel`),
    el('p', {}, statusBadge('shut', 'not for cutting')),
    untaped.length
      ? el('p', {}, `Kept back until ${untaped.length === 1 ? 'this is' : 'these are'} taped: ${untaped.join(', ')}.`)
      : null,
    ...doubted.map((size) => el('p', {}, `Kept back until this is taped again: ${size}. ${doubt(state, size)}`)),
    el('a', { class: 'button', href: atSize(job, key, doubted[0] ?? untaped[0] ?? '') }, 'To the walls'),
    taping,
  );
}

/** What is asked of a size in doubt. @param {import('../state/job_facts.js').WallState} state @param {string} name */
function doubt({ report }, name) {
  const size = report?.dimensions.find((one) => one.name === name);
  return size && report ? colleague(size, report) : '';
}
