/** What the service is asked of one photo while a person works on it; asking changes nothing. */
import { Problem, read } from '../api.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').Pair} Pair */
/** @typedef {import('../types.js').EdgePoints} EdgePoints */
/** @typedef {import('../types.js').PhotoPlace} PhotoPlace */
/** @typedef {import('../types.js').Snaps} Snaps */
/** @typedef {import('../types.js').Suggestion} Suggestion */

/**
 * Where the wall's measured points and sizes lie in the photo; nothing where that cannot be told.
 * @param {string} photo id
 * @param {AbortSignal} signal
 * @returns {Promise<PhotoPlace>}
 */
export async function placeOf(photo, signal) {
  return (await answered(read(`/photos/${photo}/place`, { signal }))) ?? { points: {}, sizes: [] };
}

/**
 * What a point may have meant.
 * @param {string} photo id
 * @param {{at: Point, sd_px: number, height_mm: number, round_thing: boolean}} point
 * @param {AbortSignal} signal
 * @returns {Promise<Snaps | null>} null where the service could not look
 */
export function snapsOf(photo, { at, ...rest }, signal) {
  const asked = new URLSearchParams({ x: String(at.x), y: String(at.y) });
  for (const [name, value] of Object.entries(rest)) asked.set(name, String(value));
  return answered(read(`/photos/${photo}/snaps?${asked}`, { signal }));
}

/**
 * What goes from each corner of a rectangle to the next.
 * @param {string} photo id
 * @param {Pair[]} corners
 * @param {number} sd_px of the corners
 * @param {AbortSignal} signal
 * @returns {Promise<(EdgePoints | null)[]>} none where the service could not look
 */
export async function edgesOf(photo, corners, sd_px, signal) {
  const asked = new URLSearchParams({ sd_px: String(sd_px) });
  for (const [x, y] of corners) {
    asked.append('x', String(x));
    asked.append('y', String(y));
  }
  return (await answered(read(`/photos/${photo}/edges?${asked}`, { signal })))?.edges ?? [];
}

/**
 * What may be marked in the photo.
 * @param {string} photo id
 * @param {AbortSignal} signal
 * @returns {Promise<Suggestion[]>}
 */
export async function suggestionsOf(photo, signal) {
  return (await read(`/photos/${photo}/suggestions`, { signal })).suggestions;
}

/**
 * A help that is not there keeps nobody from working.
 * @template T
 * @param {Promise<T>} asking
 * @returns {Promise<T | null>}
 */
async function answered(asking) {
  try {
    return await asking;
  } catch (error) {
    if (error instanceof Problem || (error instanceof DOMException && error.name === 'AbortError')) return null;
    throw error;
  }
}
