/** How well a mark is set, from how it was set: standard deviation for each axis, image pixels. */

/** Screen pixels by which a hand misses, by the way it aims: this project's own estimates. */
const MISS_PX = Object.freeze({ aim: 1.0, mouse: 1.5, drag: 2.0, finger: 5.0 });
/** Image pixels by which a place that was found in the flattened wall misses. */
const SUGGESTED_PX = 4.0;
const LEAST_PX = 0.6;

/** @typedef {keyof typeof MISS_PX | 'suggested'} Way */

/**
 * @param {Way} way
 * @param {number} scale screen px for each image px when it was set
 */
export function sdPixels(way, scale) {
  if (way === 'suggested') return SUGGESTED_PX;
  return Math.round(Math.max(LEAST_PX, MISS_PX[way] / Math.max(scale, 1e-6)) * 100) / 100;
}

/** What a point can lie on, and how far that usually is before the face that the cards hang on. */
export const SURFACES = Object.freeze([
  { key: 'same', word: 'the face the cards hang on', standoff_mm: 0 },
  { key: 'plaster', word: 'plaster, a tile behind the cards', standoff_mm: -9.5 },
  { key: 'proud', word: 'tile, standing before the cards', standoff_mm: 9.5 },
  { key: 'other', word: 'something else', standoff_mm: null },
]);
const STANDOFF_U_MM = 1.0;
const SAME_MM = 0.05;

/**
 * The stand-off as a mark carries it: nothing where it never lay off the cards' own face, and as it was
 * where it is not changed. What is stated holds for the point in every photo.
 * @param {number} mm before the cards' face; negative is behind it
 * @param {import('../types.js').MarkFacts} [known] the mark as it was
 */
export function standoff(mm, known) {
  if (known?.standoff_mm === mm) return { standoff_mm: mm, standoff_u_mm: known.standoff_u_mm };
  if (Math.abs(mm) >= SAME_MM) return { standoff_mm: mm, standoff_u_mm: STANDOFF_U_MM };
  return known?.standoff_mm ? { standoff_mm: 0 } : {};
}

/** How sharply the thing itself is defined. */
export const SHARPNESS = Object.freeze([
  { key: 'tick', word: 'a pencil tick or a crossing', defined_mm: 0.5 },
  { key: 'edge', word: 'a tile corner or the middle of a pipe', defined_mm: 1.0 },
  { key: 'soft', word: 'a caulked or rounded corner', defined_mm: 3.0 },
]);

/**
 * The surface a mark was said to lie on.
 * @param {import('../types.js').MarkFacts | undefined} mark
 */
export function surfaceOf(mark) {
  const away = mark?.standoff_mm ?? 0;
  return (
    SURFACES.find(({ standoff_mm }) => standoff_mm !== null && Math.abs(standoff_mm - away) < SAME_MM)?.key ??
    'other'
  );
}

/** @param {import('../types.js').MarkFacts | undefined} mark */
export function sharpnessOf(mark) {
  const soft = mark?.defined_mm ?? 0.5;
  if (soft > 2) return 'soft';
  return soft > 0.75 ? 'edge' : 'tick';
}
