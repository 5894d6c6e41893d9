/** The file input through which photos come in: which kinds it asks for, and what was picked. */
import { read } from '../api.js';
import { el, listen } from '../page/dom.js';

/** What every service reads. Not asked for HEIC, a phone that keeps it hands over a JPEG. */
const ALWAYS = 'image/jpeg,image/png,image/webp';

/** @type {Promise<string> | null} */
let asked = null;

/**
 * A file input that asks for what the service reads, as soon as that is known.
 * @param {Record<string, any>} how attributes
 * @param {(files: File[]) => void} pick
 * @param {AbortSignal} signal
 */
export function photoInput(how, pick, signal) {
  const input = el('input', { type: 'file', accept: ALWAYS, class: 'file', ...how });
  const picked = () => {
    pick([...(input.files ?? [])]);
    input.value = ''; // so that the same photo may be picked again
  };
  listen(input, 'change', picked, signal);
  void kindsRead().then((kinds) => (input.accept = kinds));
  return input;
}

/** Asked once a page; without a connection the kinds that every service reads. */
function kindsRead() {
  asked ??= read('/version').then(
    (told) => told.photos.join(','),
    () => {
      asked = null;
      return ALWAYS;
    },
  );
  return asked;
}
