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

/** @type {Readonly<Record<string, string>>} */
const CORNERS = Object.freeze({
  left: 'the left corner',
  right: 'the right corner',
  inner: 'the back corner',
  outer: 'the outer edge',
  front: 'the tub front',
});

/**
 * What is said of a size beside its role.
 * @typedef {{side?: string | null, down?: string | null, to_down?: string | null, at?: string | null,
 *   surface?: string | null, fixture?: string | null, count?: number | null}} Placed
 */

/** From where to where each size is taped, as one would ask a helper for it.
 * @type {Readonly<Record<string, (size: Placed, end: boolean) => string>>} */
const TAPED = Object.freeze({
  offset: (size) => {
    const to = size.surface === 'hung' ? 'the face of the hung back panel' : corner(size);
    return `From the plumb line level to ${to}${below(size.down)}.`;
  },
  width: ({ down }, end) =>
    `Level from ${end ? 'the back corner to the outer edge' : 'corner to corner'}${below(down)}.`,
  height: (size) => `From the level line down to the deck, ${along(size)}.`,
  diagonal: (size) => {
    const to = size.to_down ? `the other side${below(size.to_down)}` : 'the deck at the other side';
    return `From ${corner(size)}${below(size.down)}, straight to ${to}.`;
  },
  'fixture from plumb': (size) => `From the plumb line level to ${middle(size)}.`,
  'fixture from corner': (size, end) =>
    `From ${corner({ side: size.side || (end ? 'inner' : 'left') })} level to ${middle(size)}.`,
  'fixture down': (size) => `From the level line down to ${middle(size)}.`,
  'fixture above deck': (size) => `From the deck up to ${middle(size)}.`,
  'tub front': () => 'From the plumb line level to the tub front, at the deck.',
  'line to floor': () => 'From the level line down to the floor, at the tub front.',
  'deck to floor': () => 'From the deck down to the floor, at the tub front.',
  'line to ceiling': () => 'From the level line up to the ceiling.',
  'floor to ceiling': () => 'From the floor up to the ceiling.',
  'corner diagonal': ({ side }) =>
    `Mark 24 in from the ${side} back corner along both walls, level: from mark to mark.`,
  opening: ({ down }) => `Level from end wall to end wall at the tub front${below(down)}.`,
  depth: () => 'From the back wall out to the tub front, where the opening is taken.',
  'plan diagonal': ({ side, down }) =>
    `Level from the ${side} back corner to the other end wall at the tub front${below(down)}.`,
  'tile top': (size) => `From the level line down to the top of the tile, ${along(size)}.`,
  courses: ({ count, ...size }) =>
    count
      ? `One course, tile and joint, of ${count}.`
      : `From the top of the tile down over all whole courses with their joints, ${along(size)}.`,
  'cut row': (size) => `The cut course at the deck, the tile alone, ${along(size)}.`,
  step: (size) => `How far the tile stands proud of the bare wall over it, ${along(size)}.`,
});

const corner = (/** @type {Placed} */ { side }) => CORNERS[side ?? ''] ?? 'the corner';

const middle = (/** @type {Placed} */ { fixture }) => `the middle of the ${fixture ?? 'pipe'}`;

/** @param {string | null} [down] as written, in inches where it has no unit */
function below(down) {
  if (!down) return '';
  return /^0(\s*in)?$/u.test(down) ? ', on the level line' : `, ${inInches(down)} below the level line`;
}

/** Where along the wall. @param {Placed} size */
function along({ side, at }) {
  if (side === 'front') return 'at the tub front';
  if (side) return `${side === 'outer' ? 'at' : 'in'} ${CORNERS[side] ?? side}`;
  if (!at || /^0(\s*in)?$/u.test(at)) return 'at the plumb line';
  return `${inInches(at.replace(/^[-−]/u, ''))} ${/^[-−]/u.test(at) ? 'left' : 'right'} of the plumb line`;
}

const inInches = (/** @type {string} */ text) => (/[a-z"']/iu.test(text) ? text : `${text} in`);

/**
 * A size as one would ask for it: `From the level line down to the floor, at the tub front.`
 * @param {import('../types.js').DimensionFacts} size
 * @param {boolean} end whether its wall is an end wall
 */
export const askedFor = (size, end) => TAPED[size.role ?? '']?.(size, end) ?? `${size.name}.`;

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
