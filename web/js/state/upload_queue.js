/**
 * Sends photos in parts with a digest each, one photo at a time, until the service has them whole. What
 * was sent already is asked for and not sent twice; a lost connection is tried again, ever more slowly.
 */
import { Problem, read, write, writeBytes } from '../api.js';
import { forgetUpload, keepUpload, keptPart, keptUploads, openStore } from './upload_store.js';

/** @typedef {import('./upload_store.js').Upload} Upload */

const LEAST_PART = 256 * 1024;
const MOST_PART = 4 * 1024 * 1024;
const MOST_PARTS = 16;
const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 30_000;

/**
 * @typedef {object} Progress
 * @property {Upload} upload
 * @property {number} sent parts
 * @property {'waiting' | 'sending' | 'refused'} state
 * @property {string} [why]
 */

/** Tells of `changed`, and of `sent` with `{detail: {wall, photo}}`, the wall empty for a photo of a card. */
export class UploadQueue extends EventTarget {
  constructor() {
    super();
    /** @type {Map<string, Progress>} */
    this.progress = new Map();
    /** @type {Promise<IDBDatabase> | null} */
    this.opening = null;
    this.waitMs = FIRST_WAIT_MS;
    this.busy = false;
  }

  /**
   * Takes up what an earlier visit left, and tries again whenever there is a chance.
   * @param {AbortSignal} signal
   */
  async start(signal) {
    for (const upload of await keptUploads(await this.#store())) {
      if (!this.progress.has(upload.id)) this.#note(upload, 0, 'waiting');
    }
    const retry = () => {
      this.waitMs = FIRST_WAIT_MS;
      void this.flush();
    };
    globalThis.addEventListener('online', retry, { signal });
    signal.addEventListener('abort', () => clearTimeout(this.timer), { once: true });
    void this.flush();
  }

  /**
   * Keeps a picked file and starts to send it.
   * @param {File} file
   * @param {string} wall id; empty for a photo of a card
   * @param {string} [job] id of the job that a photo of a card is for
   */
  async add(file, wall, job) {
    const bytes = await file.arrayBuffer();
    const parts = cut(bytes);
    const upload = {
      id: crypto.randomUUID(),
      wall,
      job,
      filename: file.name || 'photo.jpg',
      size: bytes.byteLength,
      sha256: hex(await crypto.subtle.digest('SHA-256', bytes)),
      digests: await Promise.all(
        parts.map(async (part) => base64(await crypto.subtle.digest('SHA-256', part))),
      ),
    };
    await keepUpload(await this.#store(), upload, parts);
    this.#note(upload, 0, 'waiting');
    void this.flush();
  }

  /**
   * Forgets a photo that the service refused or that is not wanted.
   * @param {string} id
   */
  async drop(id) {
    const found = this.progress.get(id);
    if (!found) return;
    await forgetUpload(await this.#store(), found.upload);
    this.progress.delete(id);
    this.dispatchEvent(new Event('changed'));
  }

  /** Sends what waits, unless another page of this browser already does. */
  async flush() {
    if (this.busy) return;
    this.busy = true;
    try {
      await navigator.locks.request('tapeproof-uploads', { ifAvailable: true }, async (lock) => {
        if (lock) await this.#sendAll();
        else this.#later();
      });
    } finally {
      this.busy = false;
    }
  }

  /** Opened once; a photo may be picked before the page is done with starting. */
  #store() {
    this.opening ??= openStore();
    return this.opening;
  }

  async #sendAll() {
    for (let next = this.#nextWaiting(); next; next = this.#nextWaiting()) {
      try {
        await this.#send(next.upload);
        this.waitMs = FIRST_WAIT_MS;
      } catch (error) {
        if (!(error instanceof Problem)) throw error;
        const { sent } = this.progress.get(next.upload.id) ?? next;
        if (lasting(error)) {
          this.#note(next.upload, sent, 'refused', error.text);
          continue;
        }
        this.#note(next.upload, sent, 'waiting', 'No connection: it goes on by itself.');
        this.#later();
        return;
      }
    }
  }

  #nextWaiting() {
    return [...this.progress.values()].find((one) => one.state === 'waiting') ?? null;
  }

  /** @param {Upload} upload */
  async #send(upload) {
    const there = new Set(await partsThere(upload.id));
    this.#note(upload, there.size, 'sending');
    for (let number = 0; number < upload.digests.length; number += 1) {
      if (there.has(number)) continue;
      const part = await keptPart(await this.#store(), upload.id, number);
      if (!part)
        throw new Problem(410, { detail: 'This browser no longer has the photo.', do: 'Pick it again.' });
      await writeBytes(`/uploads/${upload.id}/parts/${number}`, part, upload.digests[number]);
      there.add(number);
      this.#note(upload, there.size, 'sending');
    }
    const { wall, job, filename, sha256, digests } = upload;
    const target = job ? { job } : { wall };
    const photo = await write(
      'POST',
      `/uploads/${upload.id}/${job ? 'card-photo' : 'complete'}`,
      { ...target, filename, parts: digests.length, sha256 },
      { key: `complete-${upload.id}` },
    );
    await forgetUpload(await this.#store(), upload);
    this.progress.delete(upload.id);
    this.dispatchEvent(new CustomEvent('sent', { detail: { wall, photo } }));
    this.dispatchEvent(new Event('changed'));
  }

  #later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.flush(), this.waitMs);
    this.waitMs = Math.min(this.waitMs * 2, LONGEST_WAIT_MS);
  }

  /**
   * @param {Upload} upload
   * @param {number} sent
   * @param {Progress['state']} state
   * @param {string} [why]
   */
  #note(upload, sent, state, why) {
    this.progress.set(upload.id, { upload, sent, state, why });
    this.dispatchEvent(new Event('changed'));
  }
}

/** What trying again cannot mend. @param {Problem} error */
function lasting(error) {
  return error.status >= 400 && error.status < 500 && ![408, 425, 429].includes(error.status);
}

/** @param {string} id @returns {Promise<number[]>} */
async function partsThere(id) {
  try {
    const { parts } = await read(`/uploads/${id}`);
    return parts.map((/** @type {{part: number}} */ one) => one.part);
  } catch (error) {
    if (error instanceof Problem && error.status === 404) return [];
    throw error;
  }
}

/** @param {ArrayBuffer} bytes */
function cut(bytes) {
  const size = Math.min(MOST_PART, Math.max(LEAST_PART, Math.ceil(bytes.byteLength / MOST_PARTS)));
  const parts = [];
  for (let at = 0; at < bytes.byteLength; at += size) parts.push(bytes.slice(at, at + size));
  return parts.length ? parts : [bytes];
}

/** @param {ArrayBuffer} digest */
const hex = (digest) =>
  [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** @param {ArrayBuffer} digest */
const base64 = (digest) => btoa(String.fromCharCode(...new Uint8Array(digest)));
