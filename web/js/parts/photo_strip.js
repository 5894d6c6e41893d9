/** The photos of one wall with what became of them, photos on their way, and the pickers for more. */
import { address } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { wallWords } from '../drawing/words.js';
import { button, el } from '../page/dom.js';
import { photoInput } from './photo_input.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */
/** @typedef {import('../state/upload_queue.js').UploadQueue} UploadQueue */

const STATES = Object.freeze({ looking: 'looking for the card', ready: 'ready', refused: 'refused' });

/**
 * The list of photos, made anew whenever something changes.
 * @param {WallState} state
 * @param {UploadQueue} queue
 * @param {(work: () => Promise<unknown>) => void} guard
 * @param {AbortSignal} signal
 */
export function photoStrip(state, queue, guard, signal) {
  const { facts } = state;
  const going = [...queue.progress.values()].filter((one) => one.upload.wall === facts.id);
  const items = going.map((one) => goingItem(one, queue, guard, signal));
  return el(
    'section',
    { class: 'photos', 'aria-label': `Photos of the ${wallWords(facts)} wall` },
    el('h4', {}, 'Photos'),
    el('ul', { class: 'strip' }, ...facts.photos.map(photoItem), ...items),
    facts.photos.length + going.length === 0 ? howTo() : advice(state),
  );
}

/**
 * The pickers for more photos, made once: a choice may be open while everything round it changes.
 * @param {string} wall id
 * @param {UploadQueue} queue
 * @param {(work: () => Promise<unknown>) => void} guard
 * @param {AbortSignal} signal
 */
export function photoPickers(wall, queue, guard, signal) {
  const pick = (/** @type {File[]} */ files) =>
    guard(async () => {
      for (const file of files) await queue.add(file, wall);
    });
  return el(
    'div',
    { class: 'pickers' },
    picker(wall, 'Take a photo', { capture: 'environment' }, pick, signal),
    picker(wall, 'Add photos', { multiple: true }, pick, signal),
  );
}

/**
 * What would make the photos better, each piece once.
 * @param {WallState} state
 */
function advice({ facts, report }) {
  const names = new Map(facts.photos.map((photo) => [/** @type {any} */ (photo).file, photo.filename]));
  /** @type {Map<string, string[]>} */
  const said = new Map();
  for (const photo of report?.photos ?? []) {
    const name = names.get(photo.file) ?? photo.file;
    for (const { text } of photo.advice) said.set(text, [...(said.get(text) ?? []), name]);
  }
  if (said.size === 0) return null;
  const items = [...said].map(([text, photos]) => el('li', {}, el('b', {}, photos.join(', ')), `: ${text}`));
  const pieces = said.size === 1 ? '1 piece' : `${said.size} pieces`;
  return el('details', {}, el('summary', {}, `Better photos: ${pieces} of advice`), el('ul', {}, ...items));
}

function howTo() {
  return el(
    'p',
    { class: 'quiet-text' },
    'Two cards flat on the wall, far apart. Two or more photos from different places, ',
    'all corners and both cards in view if the room allows.',
  );
}

/** @param {import('../types.js').WallPhoto} photo */
function photoItem(photo) {
  const marks = Object.keys(photo.marks ?? {}).length;
  const ready = photo.state === 'ready';
  const picture = ready
    ? el('img', {
        src: address(`/photos/${photo.id}/preview.jpg`),
        alt: '',
        loading: 'lazy',
        width: 96,
        height: 96,
      })
    : el('span', { class: 'no-picture', 'aria-hidden': 'true' });
  return el(
    'li',
    {},
    el(
      'a',
      { href: `/photo.html?photo=${encodeURIComponent(photo.id)}` },
      picture,
      el('span', { class: 'photo-name' }, photo.filename),
      photo.state === 'refused'
        ? statusBadge('conflicts', STATES.refused)
        : el(
            'span',
            { class: 'quiet-text' },
            ready ? `${marks} ${marks === 1 ? 'point' : 'points'} set` : STATES[photo.state],
          ),
    ),
  );
}

/**
 * @param {import('../state/upload_queue.js').Progress} one
 * @param {UploadQueue} queue
 * @param {any} guard
 * @param {AbortSignal} signal
 */
function goingItem(one, queue, guard, signal) {
  const { upload, sent, state, why } = one;
  const name = `Sending ${upload.filename}`;
  return el(
    'li',
    { class: 'going' },
    el('span', { class: 'photo-name' }, upload.filename),
    el('progress', { max: upload.digests.length, value: sent, 'aria-label': name }),
    el(
      'span',
      { class: state === 'refused' ? 'why' : 'quiet-text' },
      state === 'refused'
        ? (why ?? 'refused')
        : `${sentWords(sent / upload.digests.length)}. ${why ?? 'Keep this page open.'}`,
    ),
    state === 'refused' ? button('Leave it out', () => guard(() => queue.drop(upload.id)), signal) : null,
  );
}

/** How much of a photo is sent. @param {number} part */
const sentWords = (part) => (part > 0 ? `${Math.round(100 * part)} % is sent` : 'Not sent yet');

/**
 * @param {string} wall
 * @param {string} label
 * @param {Record<string, any>} extra
 * @param {(files: File[]) => void} pick
 * @param {AbortSignal} signal
 */
function picker(wall, label, extra, pick, signal) {
  const id = `${label.replaceAll(' ', '-').toLowerCase()}-${wall}`;
  const input = photoInput({ id, ...extra }, pick, signal);
  return el('span', { class: 'picker' }, input, el('label', { for: id, class: 'button' }, label));
}
