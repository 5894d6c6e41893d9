/** Which size is taped after which. */
import { standingReadings } from '../drawing/words.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

/**
 * The size of this wall that is to be taped after one, in walking order; then any that is not taped.
 * @param {WallState} state
 * @param {string} after
 */
export function nextSize(state, after) {
  const untaped = (/** @type {string} */ name) => standingReadings(state.facts, name).length === 0;
  const wanted = (state.alcove?.tape_next ?? [])
    .filter(({ wall, size }) => wall === state.facts.name && size !== after)
    .find(({ size }) => untaped(size));
  if (wanted) return wanted.size;
  const names = state.facts.dimensions.map((size) => size.name);
  const at = names.indexOf(after);
  return [...names.slice(at + 1), ...names.slice(0, Math.max(at, 0))].find(untaped) ?? null;
}
