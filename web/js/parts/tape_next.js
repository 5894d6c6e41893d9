/** What to tape next on a wall so that its sheet may be released, in walking order. */
import { standingReadings, wallWords } from '../drawing/words.js';
import { button, el } from '../page/dom.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */
/** @typedef {import('../types.js').SizeToTape} SizeToTape */

const FEW = 4;

/**
 * @param {WallState} state
 * @param {(size: SizeToTape, how?: {anew: boolean}) => void} open
 * @param {AbortSignal} signal
 */
export function tapeNext(state, open, signal) {
  const { alcove } = state;
  if (!alcove || state.facts.dimensions.length === 0) return null;
  const next = alcove.tape_next;
  const again = againOf(state);
  const anew = alcove.tape_anew;
  if (next.length + again.length + anew.length === 0) return null;
  const pick = (/** @type {SizeToTape} */ one, how = { anew: false }) => {
    const name = one.wall === state.facts.name ? one.size : `${one.size}, ${wallWords({ name: one.wall })} wall`;
    return el('li', {}, button(name, () => open(one, how), signal, { 'data-next': name }));
  };
  const plain = (/** @type {SizeToTape} */ one) => pick(one);
  return el(
    'section',
    { class: 'tape-next', 'aria-label': `What to tape next, ${wallWords(state.facts)} wall` },
    anew.length ? el('h4', {}, 'To take again, for it does not fit') : null,
    anew.length ? el('ul', {}, ...anew.map((one) => pick(one, { anew: true }))) : null,
    next.length ? el('h4', {}, `To tape next: ${next.length}`) : null,
    next.length ? el('ol', {}, ...next.slice(0, FEW).map(plain)) : null,
    next.length > FEW ? rest(next.slice(FEW), plain) : null,
    again.length ? el('h4', {}, 'Once more, by another person or with another instrument') : null,
    again.length ? el('ul', {}, ...again.map(plain)) : null,
  );
}

/** Taped sizes that nothing checks; those still to be taped are in the list above. @param {WallState} state */
function againOf({ facts, alcove }) {
  return (alcove?.tape_again ?? []).filter(
    ({ wall, size }) => wall !== facts.name || standingReadings(facts, size).length > 0,
  );
}

/** @param {SizeToTape[]} sizes @param {(size: SizeToTape) => HTMLElement} pick */
function rest(sizes, pick) {
  const list = el('ol', { start: FEW + 1 }, ...sizes.map(pick));
  return el('details', {}, el('summary', {}, `and ${sizes.length} more`), list);
}
