/** The photo once the service has looked at it. */
import { read } from '../api.js';
import { fill } from '../page/dom.js';
import { photoFacts } from './photo_facts.js';

/** @typedef {import('../types.js').PhotoFacts} PhotoFacts */

const LOOK_AGAIN_MS = 600;

/**
 * @param {string} id
 * @param {HTMLElement} place where it is said while that lasts
 * @param {AbortSignal} signal
 * @returns {Promise<PhotoFacts>}
 */
export async function lookedAt(id, place, signal) {
  let photo = await read(`/photos/${id}`, { signal });
  while (photo.state === 'looking') {
    fill(place, photoFacts(photo));
    await new Promise((done) => setTimeout(done, LOOK_AGAIN_MS));
    photo = await read(`/photos/${id}`, { signal });
  }
  return photo;
}
