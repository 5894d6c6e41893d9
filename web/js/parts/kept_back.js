/** What the plan's page says in place of what it keeps back until every size is taped. */
import { statusBadge } from '../drawing/status_shape.js';
import { isHidden } from '../drawing/words.js';
import { el } from '../page/dom.js';
import { allIsBlind } from '../state/settings.js';

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
    'What hangs on sizes that are not taped yet is kept back, so that nobody writes what is expected. ',
    'The settings, above, say where it is told.',
  );

/**
 * In place of a panel that hangs on sizes that are not taped yet.
 * @param {string} job
 * @param {string} key the panel
 * @param {string[]} sizes
 * @param {Node | null} taping what can be taped of it all the same
 */
export function keptBackCard(job, key, sizes, taping) {
  const wall = key.replace('-', ' ');
  return el(
    'section',
    { class: 'box panel-card', id: `panel-${key}`, tabindex: -1, 'aria-label': `${wall} panel` },
    el('h2', {}, `${wall[0].toUpperCase()}${wall.slice(1)} panel`),
    el('p', {}, statusBadge('shut', 'not for cutting')),
    el('p', {}, `Kept back until ${sizes.length === 1 ? 'this is' : 'these are'} taped: ${sizes.join(', ')}.`),
    el('a', { class: 'button', href: `/job.html?job=${encodeURIComponent(job)}` }, 'To the walls'),
    taping,
  );
}
