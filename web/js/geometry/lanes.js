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
 * @param {import('../types.js').Pair} [within] px across: no line lies outside, though it come nearer to others
 * @returns {number[]} in the order of `wanted`
 */
export function lanes(wanted, apart, within = [-Infinity, Infinity]) {
  /** @type {{at: number, from: number, to: number}[]} */
  const taken = [];
  for (const { at, from, to } of wanted) {
    const rivals = taken.filter((other) => other.from < to && from < other.to);
    taken.push({
      at: nearestFree(
        at,
        rivals.map((other) => other.at),
        apart,
        within,
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
 * @param {import('../types.js').Pair} within
 */
function nearestFree(at, rivals, apart, [low, high]) {
  const own = Math.min(Math.max(at, low), high);
  const room = (/** @type {number} */ place) =>
    Math.min(...rivals.map((rival) => Math.abs(rival - place)), apart) + 1e-9;
  const tries = [own, ...rivals.flatMap((rival) => [rival - apart, rival + apart])].filter(
    (place) => place >= low && place <= high,
  );
  const free = tries.filter((place) => room(place) >= apart);
  if (free.length > 0) {
    return free.reduce((best, place) => (Math.abs(place - at) < Math.abs(best - at) ? place : best));
  }
  return [...tries, ...between(rivals, low, high)].reduce((best, place) => (room(place) > room(best) ? place : best));
}

/** The middles of the gaps that are left. @param {number[]} rivals @param {number} low @param {number} high */
function between(rivals, low, high) {
  const stops = [low, ...rivals, high].sort((one, other) => one - other);
  return stops.slice(1).map((stop, index) => (stop + stops[index]) / 2);
}
