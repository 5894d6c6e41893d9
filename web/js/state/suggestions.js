/** What may be marked in a photo, as the person goes through it: each is taken or put aside. */

/** @typedef {import('../types.js').Suggestion} Suggestion */
/** @typedef {Suggestion & {letter: string}} Open */

const FIRST_LETTER = 65;

export class Suggestions {
  /** @param {Suggestion[]} found */
  constructor(found) {
    this.all = found.map((one, index) => ({ ...one, letter: String.fromCharCode(FIRST_LETTER + index) }));
    /** @type {Set<string>} */
    this.done = new Set();
  }

  /** Those that were neither taken nor put aside. @returns {Open[]} */
  get open() {
    return this.all.filter(({ letter }) => !this.done.has(letter));
  }

  /** @param {string} letter */
  putAside(letter) {
    this.done.add(letter);
  }
}
