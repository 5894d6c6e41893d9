/** What a size can be of the alcove, in the trade's words, and what has to be said with it. */

/**
 * @typedef {'side' | 'down' | 'to_down' | 'at' | 'fixture' | 'count'} Told
 * @typedef {{word: string, told: Told[]}} RoleWords
 */

/** @type {Readonly<Record<string, RoleWords>>} */
export const ROLES = Object.freeze({
  offset: { word: 'offset: plumb line to a corner or edge', told: ['side', 'down'] },
  width: { word: 'width: corner to corner or edge', told: ['down'] },
  height: { word: 'height: level line to the deck', told: ['side', 'at'] },
  diagonal: { word: 'diagonal: side to side, or to the deck', told: ['side', 'down', 'to_down'] },
  'fixture from plumb': { word: 'pipe, from the plumb line', told: ['fixture'] },
  'fixture from corner': { word: 'pipe, from the corner', told: ['fixture', 'side'] },
  'fixture down': { word: 'pipe, down from the level line', told: ['fixture'] },
  'fixture above deck': { word: 'pipe, up from the deck', told: ['fixture'] },
  'tub front': { word: 'plumb line to the tub front', told: [] },
  'line to floor': { word: 'level line to the floor', told: [] },
  'deck to floor': { word: 'deck to the floor', told: [] },
  'line to ceiling': { word: 'level line to the ceiling', told: [] },
  'floor to ceiling': { word: 'floor to ceiling', told: [] },
  'corner diagonal': { word: 'across a back corner, 24 in each way', told: ['side'] },
  opening: { word: 'opening at the tub front', told: ['down'] },
  depth: { word: 'depth: back wall to the tub front', told: [] },
  'plan diagonal': { word: 'back corner to the other front', told: ['side', 'down'] },
  'tile top': { word: 'level line down to the top of the tile', told: ['side'] },
  courses: { word: 'whole courses of tile', told: ['count'] },
  'cut row': { word: 'cut course at the deck', told: [] },
  step: { word: 'how far the tile stands proud', told: ['side'] },
});

const SIDES = Object.freeze({
  left: 'left',
  right: 'right',
  inner: 'inner: the back corner',
  outer: 'outer: tile edge',
  front: 'tub front',
});
const IN_PLAN = new Set(['corner diagonal', 'plan diagonal']);

/**
 * The sides that a size of this wall can be on.
 * @param {string} role
 * @param {boolean} end whether the wall is an end wall
 * @returns {[string, string][]}
 */
export function sidesOf(role, end) {
  const names = end && !IN_PLAN.has(role) ? ['inner', 'outer'] : ['left', 'right'];
  if (role === 'height') names.push('front');
  return names.map((name) => [name, /** @type {Record<string, string>} */ (SIDES)[name]]);
}

/**
 * What a size of a role is usually called: `left 16`, `valve down`, `corner diagonal left`.
 * @param {string} role
 * @param {Record<string, string>} told
 */
export function nameOf(role, { side, down, at, fixture }) {
  if (!role) return '';
  const station = down?.replace(/ in$/u, '');
  if (fixture) return role.replace('fixture', fixture);
  if (role === 'offset') return [side, station].filter(Boolean).join(' ');
  if (role === 'height') return ['deck', at || side].filter(Boolean).join(' ');
  return [role, side, station].filter(Boolean).join(' ');
}

/**
 * A size that no photo shows, as one would ask for it: `Level line to the floor.`
 * @param {import('../types.js').DimensionFacts} size
 */
export function askedFor(size) {
  const word = ROLES[size.role ?? '']?.word ?? size.name;
  const where = [
    size.side && /** @type {Record<string, string>} */ (SIDES)[size.side],
    size.down && `${size.down} below the level line`,
    size.at && `at ${size.at} from the plumb line`,
    size.fixture,
  ].filter(Boolean);
  return `${word[0].toUpperCase()}${word.slice(1)}${where.length ? `; ${where.join(', ')}` : ''}.`;
}

/**
 * What a size is of the alcove, in few words; by its name where nothing else is said.
 * @param {import('../types.js').WallFacts} wall
 * @param {import('../types.js').DimensionFacts} size
 */
export function roleText(wall, size) {
  if (size.role) {
    const where = [size.side, size.down && `${size.down} down`, size.at && `at ${size.at}`, size.fixture];
    return [size.role, ...where].filter(Boolean).join(', ');
  }
  const known = wall.known_by_name?.[size.name];
  if (!known) return 'only for itself';
  return `${[known.role, known.side].filter(Boolean).join(', ')} (by its name)`;
}
