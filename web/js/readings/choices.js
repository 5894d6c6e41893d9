/** How a reading was taken: the instruments, their classes and the methods, in the trade's words. */

/** @type {[string, string][]} */
export const METHODS = [
  ['hook to mark', 'hook to mark'],
  ['bent inside', 'bent into the corner'],
  ['mark and add', 'mark and add'],
  ['rod', 'sliding rod'],
  ['laser rear', 'laser, from its rear'],
  ['laser front', 'laser, from its front'],
];

/** @type {[string, string][]} */
export const CLASSES = [
  ['I', 'class I'],
  ['II', 'class II (usual)'],
  ['III', 'class III'],
  ['HB44', 'Handbook 44'],
];

/**
 * What stands between two lines of a tape.
 * @type {[string, string][]}
 */
export const GRADUATIONS = [
  ['1/16 in', '1/16 in'],
  ['1/32 in', '1/32 in'],
  ['1/8 in', '1/8 in'],
  ['1 mm', '1 mm'],
];

/**
 * What a laser meter or a rod is stated to keep to, either way; empty is the usual.
 * @type {[string, string][]}
 */
export const TOLERANCES = [
  ['', '1/16 in (usual)'],
  ['1 mm', '1 mm'],
  ['2 mm', '2 mm'],
  ['3 mm', '3 mm'],
  ['1/8 in', '1/8 in'],
];

/** Units of a metric tape. */
export const METRIC = new Set(['mm', 'cm', 'm']);

/**
 * What the tape touched.
 * @type {[string, string][]}
 */
export const SURFACES = [
  ['', 'not said'],
  ['tile', 'tile'],
  ['bare', 'bare wall'],
  ['hung', 'face of a hung sheet'],
];

/** The instrument that goes with a method: nobody says both. */
export const INSTRUMENT_OF = Object.freeze({
  'hook to mark': 'tape',
  'bent inside': 'tape',
  'mark and add': 'tape',
  rod: 'rod',
  'laser rear': 'laser',
  'laser front': 'laser',
});

/** Sixteenths of an inch as keys, reduced, in rising order. */
export const FRACTIONS = Object.freeze([
  '1/16',
  '1/8',
  '3/16',
  '1/4',
  '5/16',
  '3/8',
  '7/16',
  '1/2',
  '9/16',
  '5/8',
  '11/16',
  '3/4',
  '13/16',
  '7/8',
  '15/16',
]);
