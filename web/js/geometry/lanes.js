/** Keeps dimension lines off one another: lines that would overlap go to lanes beside each other. */

/**
 * One line that wants a place across its direction.
 * @typedef {object} Wanted
 * @property {number} at where it would lie by itself, px across
 * @property {number} from its extent along, px
 * @property {number} to
 */

/**
 * The place across for each line, at least `apart` px from every line before it that it runs beside.
 * @param {Wanted[]} wanted
 * @param {number} apart px
 * @returns {number[]} in the order of `wanted`
 */
export function lanes(wanted, apart) {
  /** @type {{at: number, from: number, to: number}[]} */
  const taken = [];
  for (const { at, from, to } of wanted) {
    const rivals = taken.filter((other) => other.from < to && from < other.to);
    taken.push({
      at: nearestFree(
        at,
        rivals.map((other) => other.at),
        apart,
      ),
      from,
      to,
    });
  }
  return taken.map((line) => line.at);
}

/**
 * @param {number} at
 * @param {number[]} rivals
 * @param {number} apart
 */
function nearestFree(at, rivals, apart) {
  const tries = [at, ...rivals.flatMap((rival) => [rival - apart, rival + apart])];
  const free = tries.filter((place) => rivals.every((rival) => Math.abs(rival - place) >= apart - 1e-9));
  return free.reduce((best, place) => (Math.abs(place - at) < Math.abs(best - at) ? place : best));
}
