/** The lens of a phone: photos of a card, what each of them shows, and the profiles made from them. */
import { read, write } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { button, el, fill } from '../page/dom.js';
import { photoInput } from './photo_input.js';

/** @typedef {import('../state/upload_queue.js').UploadQueue} UploadQueue */

const LEAST = 6;
const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 4000;

/**
 * @typedef {{id: string, filename: string, state: string, lens: string | null, cards: number,
 *   tilt_deg: number | null, refusal: import('../types.js').Refusal | null}} CardPhoto
 * @typedef {{file: string, lens: string, photos: number, who: string, at: string, here: boolean,
 *   report: {f_px: number, f_u_px: number, photos: {file: string, tilt_deg: number, f_gain: number}[]}}} Profile
 */

export class LensSection {
  /**
   * @param {HTMLElement} place
   * @param {string} job id
   * @param {UploadQueue} queue
   * @param {import('../page/notice.js').Notice} notice
   * @param {AbortSignal} signal
   */
  constructor(place, job, queue, notice, signal) {
    this.job = job;
    this.queue = queue;
    this.notice = notice;
    this.signal = signal;
    this.list = el('div', {});
    this.profiles = el('div', {});
    this.shown = new AbortController();
    fill(place, this.#picker(), this.list, this.profiles);
    queue.addEventListener('changed', () => this.#draw(), { signal });
    queue.addEventListener('sent', () => void this.notice.guard(() => this.refresh()), { signal });
  }

  /** Reads what there is, and again until every photo is looked at. */
  async refresh() {
    for (let waitMs = FIRST_WAIT_MS; !this.signal.aborted; waitMs = Math.min(waitMs * 1.5, LONGEST_WAIT_MS)) {
      this.now = await read(`/jobs/${this.job}/lenses`);
      this.#draw();
      if (this.#photos().every((photo) => photo.state !== 'looking')) return;
      await new Promise((done) => setTimeout(done, waitMs));
    }
  }

  /** @returns {CardPhoto[]} */
  #photos() {
    return this.now?.photos ?? [];
  }

  /** Made once: a choice may be open while everything round it changes. */
  #picker() {
    const pick = (/** @type {File[]} */ files) =>
      void this.notice.guard(async () => {
        for (const file of files) await this.queue.add(file, '', this.job);
      });
    const input = photoInput({ id: 'card-photos', multiple: true }, pick, this.signal);
    const label = el('label', { for: 'card-photos', class: 'button' }, 'Add photos of a card');
    return el('span', { class: 'picker' }, input, label);
  }

  #draw() {
    this.shown.abort();
    this.shown = new AbortController();
    const { signal } = this.shown;
    const photos = this.#photos();
    const going = [...this.queue.progress.values()].filter((one) => one.upload.job === this.job);
    const ready = photos.filter((photo) => photo.cards > 0).length;
    const make = button('Make the profile', () => void this.#make(), signal, {
      class: 'primary',
      disabled: ready < LEAST,
    });
    const more = LEAST - ready;
    fill(
      this.list,
      photos.length + going.length
        ? el(
            'ul',
            { class: 'card-photos' },
            ...photos.map((photo) => this.#photo(photo, signal)),
            ...going.map((one) => el('li', {}, el('b', {}, one.upload.filename), ` ${one.why ?? 'on its way'}`)),
          )
        : null,
      photos.length
        ? el('p', {}, make, more > 0 ? ` ${more} more that ${more === 1 ? 'shows' : 'show'} a card.` : '')
        : null,
    );
    /** @type {Profile[]} */
    const profiles = this.now?.profiles ?? [];
    fill(
      this.profiles,
      profiles.length ? el('h3', {}, 'Profiles of the shop’s phones') : null,
      profiles.length ? el('ul', { class: 'profiles' }, ...profiles.map(profileItem)) : null,
    );
  }

  /** @param {CardPhoto} photo @param {AbortSignal} signal */
  #photo(photo, signal) {
    const away = () =>
      void this.notice.guard(async () => {
        this.now = await write('DELETE', `/card-photos/${photo.id}`);
        this.#draw();
      });
    return el(
      'li',
      {},
      el('span', {}, el('b', {}, photo.filename), ' ', shows(photo)),
      button('Take away', away, signal, { 'aria-label': `Take away ${photo.filename}` }),
    );
  }

  async #make() {
    this.notice.say('The profile is being made…');
    await this.notice.guard(async () => {
      this.now = await write('POST', `/jobs/${this.job}/lens-profiles`, { photos: null });
      this.#draw();
      this.notice.say('The profile is kept. Photos by this phone are measured with it.');
    });
  }
}

/** @param {CardPhoto} photo */
function shows(photo) {
  if (photo.state === 'looking') return 'looking for the card';
  if (photo.refusal) return statusBadge('conflicts', photo.refusal.text);
  if (photo.cards === 0) return statusBadge('unsure', 'no card found: it is left out');
  return `card tilted by ${Math.round(photo.tilt_deg ?? 0)}°`;
}

/** @param {Profile} profile */
function profileItem({ lens, photos, who, at, here, report }) {
  const made = new Date(at).toLocaleDateString();
  const where = here
    ? 'Made in this job: all its photos by this phone go by it.'
    : 'Made in another job: photos added since go by it.';
  const within = (1.96 * report.f_u_px).toFixed(1);
  return el(
    'li',
    {},
    el('b', {}, lens),
    el('div', {}, `Focal length ${report.f_px.toFixed(1)} px within ${within} px (95 %), from ${photos} photos.`),
    el('div', { class: 'quiet-text' }, `${where} ${who}, ${made}.`),
    el(
      'details',
      {},
      el('summary', {}, 'What each photo added'),
      el(
        'ul',
        {},
        ...report.photos.map((share) =>
          el(
            'li',
            {},
            `${share.file}: card tilted by ${Math.round(share.tilt_deg)}°; without it the focal length would be `,
            `${share.f_gain.toFixed(2)} times as uncertain`,
          ),
        ),
        ...(report.unused ?? []).map((left) => el('li', {}, `${left.file}: not used; ${left.why}`)),
      ),
    ),
  );
}
