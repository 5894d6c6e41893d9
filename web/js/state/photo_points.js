/** The wall's points as one photo has them. */
import { namedPoints } from '../geometry/wall_points.js';

/** @typedef {import('../types.js').MarkFacts} MarkFacts */

export class PhotoPoints {
  /** @param {import('./job_facts.js').JobFacts} facts @param {import('../types.js').PhotoFacts} photo */
  constructor(facts, photo) {
    this.facts = facts;
    this.photo = photo;
  }

  get state() {
    const state = this.facts.walls.get(this.photo.wall);
    if (!state) throw new Error('The wall of this photo is not loaded.');
    return state;
  }

  /** Every point of the wall, in the order they are set. */
  get names() {
    return namedPoints(this.state.facts);
  }

  /** The marks of this photo. @returns {Record<string, MarkFacts>} */
  get here() {
    return this.state.facts.photos.find((photo) => photo.id === this.photo.id)?.marks ?? {};
  }

  get done() {
    return new Set(Object.keys(this.here));
  }

  /** A point as it is set in another photo. @param {string} name */
  elsewhere(name) {
    return this.state.facts.photos.find((photo) => name in (photo.marks ?? {}))?.marks[name];
  }
}
