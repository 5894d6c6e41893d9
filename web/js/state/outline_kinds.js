/** What else may be set in a photo beside points: things of known size, and lines known to be straight. */

/**
 * @typedef {object} OutlineKind
 * @property {string} key
 * @property {string} word
 * @property {'rectangle' | 'line' | 'refused'} as
 * @property {[number, number]} [size_mm] the long side across
 * @property {[number, number]} [u_mm]
 * @property {'standard' | 'tape'} [known_by]
 * @property {'level' | 'plumb' | null} [direction]
 * @property {string} [why] why it is no scale
 */

/** ID-1: ISO/IEC 7810, A4: ISO 216, whose limits are divided by the root of three; letter: 1/32 in either way. */
/** @type {readonly OutlineKind[]} */
export const OUTLINES = Object.freeze([
  { key: 'card', word: 'a printed card that was not found', as: 'rectangle' },
  { key: 'id1', word: 'a bank card', as: 'rectangle', size_mm: [85.6, 53.98], u_mm: [0.07, 0.03] },
  { key: 'letter', word: 'a letter sheet', as: 'rectangle', size_mm: [279.4, 215.9], u_mm: [0.5, 0.5] },
  { key: 'a4', word: 'an A4 sheet', as: 'rectangle', size_mm: [297, 210], u_mm: [1.15, 1.15] },
  { key: 'own', word: 'something square that I taped', as: 'rectangle', known_by: 'tape' },
  {
    key: 'tile',
    word: 'a tile or board, by its name',
    as: 'refused',
    why:
      'A nominal size is no scale: it names a tile, whose own size may be 3 % off. Tape it, best over ' +
      'several tiles, and take “something square that I taped”.',
  },
  { key: 'level', word: 'a level line', as: 'line', direction: 'level' },
  { key: 'plumb', word: 'a plumb line', as: 'line', direction: 'plumb' },
  { key: 'straight', word: 'a straight joint, deck or ceiling line', as: 'line', direction: null },
]);

/** In the order that they are set. */
export const CORNERS = Object.freeze(['lower left', 'lower right', 'upper right', 'upper left']);

/** By which a tone curve or blur moves all four edges that are found in a photo alike, px. */
export const EDGE_U_PX = 0.3;

/** How far a tape is trusted along one side, mm. */
export const TAPED_U_MM = 0.9;

/** Points that a line needs before it says anything. @param {OutlineKind} kind */
export const fewestPoints = (kind) => (kind.as === 'rectangle' ? CORNERS.length : kind.direction ? 2 : 3);
