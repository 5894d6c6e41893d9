/** Readings that were typed while the service could not be reached: none is lost, whatever is closed. */
import { draftsUnder, dropDraft, keepDraft, keptDraft } from './drafts.js';

/**
 * @typedef {object} Unsent
 * @property {string} id the reading's own, so that it is kept once
 * @property {string} value as typed
 * @property {string} unit
 * @property {string} surface empty where nobody said
 * @property {string | null} replaces
 */

const of = (/** @type {string} */ wall) => `reading.${wall}.`;

/** @param {string} wall id @param {string} size @returns {Unsent | null} */
export const unsent = (wall, size) => keptDraft(of(wall) + size);

/** @param {string} wall id @param {string} size @param {Unsent} reading */
export const keepUnsent = (wall, size, reading) => keepDraft(of(wall) + size, reading);

/** @param {string} wall id @param {string} size */
export const dropUnsent = (wall, size) => dropDraft(of(wall) + size);

/**
 * Those of one wall, by size.
 * @param {string} wall id
 * @returns {[string, Unsent][]}
 */
export const unsentOf = (wall) => draftsUnder(of(wall)).map((name) => [name, keptDraft(of(wall) + name)]);
