/** In place of the panels, while walls are not measured far enough for any: what is missing, wall by wall. */
import { isHidden, wallWords } from '../drawing/words.js';
import { el } from '../page/dom.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

const NAMED = 3;

/**
 * @param {import('../api.js').Problem} problem why there is no plan
 * @param {import('../state/job_facts.js').JobFacts} facts
 * @returns {HTMLElement | null} nothing where it is not for want of sizes
 */
export function stillToMeasure({ code, field, message }, facts) {
  const walls = facts.inOrder();
  if (code !== 'cannot-plan' || !walls.some((wall) => isWanting(wall, field, message))) return null;
  const missing = walls.flatMap((wall) => {
    const words = missingWords(wall);
    return words ? [el('li', {}, el('b', {}, `${headed(wallWords(wall.facts))} wall`), `: ${words}`)] : [];
  });
  return el(
    'section',
    { class: 'box', 'aria-labelledby': 'no-panels-title' },
    el('h2', { id: 'no-panels-title' }, 'No panels yet'),
    el(
      'p',
      {},
      'For an estimate every size has to be known: taped, or from photos in which its points are set. ',
      'Still missing:',
    ),
    el('ul', {}, ...missing),
    el('a', { class: 'button', href: `/job.html?job=${encodeURIComponent(facts.id)}` }, 'To the walls'),
  );
}

/**
 * Whether this wall is what the service could not plan by, which it names in what it says.
 * @param {WallState} wall @param {string} field of the plan @param {string} said
 */
function isWanting(wall, field, said) {
  if (!field) return wall.report === null;
  const named = said.includes(`${wallWords(wall.facts)} wall`);
  return named && (wall.report === null || unknown(wall).some((size) => said.includes(`'${size}'`)));
}

/** @param {WallState} wall */
function missingWords(wall) {
  if (!wall.report) return 'nothing is measured or taped yet.';
  const sizes = unknown(wall);
  if (sizes.length === 0) return '';
  const rest = sizes.length - NAMED;
  const named = rest > 1 ? `${sizes.slice(0, NAMED).join(', ')} and ${rest} more` : sizes.join(', ');
  return `${sizes.length} of ${wall.facts.dimensions.length} sizes, namely ${named}.`;
}

/** Names of the sizes that neither tape nor photo tells. @param {WallState} wall */
function unknown({ report }) {
  const sizes = report?.dimensions ?? [];
  return sizes
    .filter((size) => size.tape_mm === null && size.photo_mm === null && size.expected_mm === null && !isHidden(size))
    .map(({ name }) => name);
}

/** @param {string} words */
const headed = (words) => `${words[0].toUpperCase()}${words.slice(1)}`;
