/** Sizes that check the others and that no photo shows, to be added to a wall by one touch each. */
import { button, el } from '../page/dom.js';
import { askedFor, nameOf } from '../readings/role_words.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {Record<string, any>} Asked */

const BOTH = ['left', 'right'];
const STATIONS = ['16 in', '40 in', '64 in'];
const PIPES = ['arm', 'valve', 'spout'];
/** @type {Asked[]} */
const ROOM = ['line to floor', 'deck to floor', 'line to ceiling', 'floor to ceiling'].map((role) => ({ role }));
/** @type {Asked[]} */
const BACK = [
  ...BOTH.map((side) => ({ role: 'corner diagonal', side })),
  ...STATIONS.map((down) => ({ role: 'opening', down })),
  { role: 'depth' },
  ...BOTH.map((side) => ({ role: 'plan diagonal', side, down: '64 in' })),
  { role: 'tile top', side: 'left' },
  { role: 'courses', side: 'left' },
  { role: 'cut row', side: 'left' },
  ...BOTH.map((side) => ({ role: 'step', side })),
];
/** @type {Asked[]} */
const END = [...ROOM, { role: 'step', side: 'inner' }];
/** @type {Asked[]} */
const PLUMBING = PIPES.flatMap((fixture) =>
  ['fixture from corner', 'fixture above deck'].map((role) => ({ role, fixture })),
);

/** Sizes of old tile, of which there is none on studs. */
const OF_TILE = new Set(['tile top', 'courses', 'cut row', 'step']);
const STUDS = 'down to studs';

/**
 * All of them in one touch: of pipes that the wall has, and of tile where there is some.
 * @param {WallFacts} wall
 * @param {string} scope of the job
 * @param {(sizes: Record<string, Asked>) => void} addAll
 * @param {AbortSignal} signal
 */
export function addChecking(wall, scope, addAll, signal) {
  if (wall.dimensions.length === 0) return null;
  const here = (/** @type {Asked} */ { role, fixture }) =>
    (!fixture || hasPipe(wall, fixture)) && !(scope === STUDS && OF_TILE.has(role));
  const sizes = Object.fromEntries(
    missing(wall)
      .filter(here)
      .map((one) => [nameOf(one.role, one), one]),
  );
  const count = Object.keys(sizes).length;
  if (count === 0) return null;
  const words = `Add what checks these: ${count} ${count === 1 ? 'size' : 'sizes'} by tape alone`;
  return el('p', {}, button(words, () => addAll(sizes), signal, { id: `add-checking-${wall.id}` }));
}

/** @param {WallFacts} wall @param {string} pipe */
const hasPipe = (wall, pipe) =>
  wall.dimensions.some(({ name, fixture }) => fixture === pipe || name.startsWith(`${pipe} `));

/** Of what is usual on such a wall what it has not yet. @param {WallFacts} wall */
function missing(wall) {
  const asked = wall.corner ? [...END, ...(wall.name === 'plumbing' ? PLUMBING : [])] : BACK;
  return asked.filter((one) => !wall.dimensions.some((size) => isOne(size, one)));
}

/**
 * @param {WallFacts} wall
 * @param {(name: string, body: Asked) => void} add
 * @param {AbortSignal} signal
 */
export function checkingSizes(wall, add, signal) {
  const wanted = missing(wall);
  if (wanted.length === 0) return null;
  const items = wanted.map((one) => {
    const name = nameOf(one.role, one);
    const words = askedFor({ name, from: null, ...one }, Boolean(wall.corner));
    return el(
      'li',
      {},
      button(`Add ${name}`, () => add(name, one), signal),
      el('span', { class: 'quiet-text' }, ` ${words}`),
    );
  });
  const count = `${wanted.length} more`;
  return el(
    'details',
    { class: 'checking' },
    el('summary', {}, `Sizes that check the others, by tape alone: ${count}`),
    el('ul', {}, ...items),
  );
}

/**
 * Whether a size is the one asked for.
 * @param {import('../types.js').DimensionFacts} size
 * @param {Asked} asked
 */
function isOne(size, asked) {
  const said = /** @type {Asked} */ (size);
  const same = Object.entries(asked).every(([key, value]) => said[key] === value);
  return same || size.name === nameOf(asked.role, asked);
}
