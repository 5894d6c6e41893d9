/** The job: three walls unfolded, their sizes, their photos. */
import { wallWords } from '../drawing/words.js';
import { byId, el, fill } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { gateLine } from '../parts/gate_line.js';
import { photoPickers, photoStrip } from '../parts/photo_strip.js';
import { sizeTable } from '../parts/size_table.js';
import { WallsBoard } from '../parts/walls_board.js';
import { ReadingPad } from '../readings/pad.js';
import { JobFacts } from '../state/job_facts.js';
import { UploadQueue } from '../state/upload_queue.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

class JobPage {
  /** @param {string} id @param {AbortSignal} signal */
  constructor(id, signal) {
    this.signal = signal;
    this.facts = new JobFacts(id);
    this.queue = new UploadQueue();
    this.notice = new Notice(byId('notice'), signal);
    this.pad = new ReadingPad(this.facts, signal);
    /** @type {Map<string, AbortController>} */
    this.shown = new Map();
  }

  async open() {
    await this.facts.load();
    byId('job-name').textContent = this.facts.job.name;
    document.title = `${this.facts.job.name} – Tapeproof`;
    this.#places();
    this.board = new WallsBoard(byId('board'), this.facts, this.#doing(), this.signal);
    this.board.show();
    this.#chosen(this.board.wall);
    for (const state of this.facts.inOrder()) this.#showWall(state);
    this.facts.addEventListener(
      'changed',
      (event) => this.#changed(/** @type {CustomEvent} */ (event).detail),
      { signal: this.signal },
    );
    this.queue.addEventListener('changed', () => this.#showAll(), { signal: this.signal });
    this.queue.addEventListener(
      'sent',
      (event) => void this.#sent(/** @type {CustomEvent} */ (event).detail),
      { signal: this.signal },
    );
    this.facts.keepUp(this.signal);
    await this.queue.start(this.signal);
  }

  #doing() {
    return {
      openSize: (/** @type {string} */ wall, /** @type {string} */ size) => this.pad.show(wall, size),
      photoOf,
      chosen: (/** @type {string} */ wall) => this.#chosen(wall),
    };
  }

  /** One place a wall, in the order of the drawing; what changes is in its body. */
  #places() {
    const guard = (/** @type {() => Promise<unknown>} */ work) => void this.notice.guard(work);
    const places = this.facts.inOrder().map(({ facts }) => {
      const words = `${wallWords(facts)} wall`;
      return el(
        'section',
        { class: 'wall-facts', id: `wall-${facts.id}`, 'aria-label': words },
        el('h3', {}, headed(words)),
        el('div', { id: `body-${facts.id}` }),
        photoPickers(facts.id, this.queue, guard, this.signal),
      );
    });
    fill(byId('walls'), ...places);
  }

  /** @param {string} id of a wall, or `all` */
  #chosen(id) {
    for (const { facts } of this.facts.inOrder())
      byId(`wall-${facts.id}`).hidden = id !== 'all' && id !== facts.id;
    byId('walls').classList.toggle('side-by-side', id === 'all');
  }

  /** @param {string} id */
  #changed(id) {
    this.board?.show();
    const state = this.facts.walls.get(id);
    if (state) this.#showWall(state);
  }

  #showAll() {
    for (const state of this.facts.inOrder()) this.#showWall(state);
  }

  /** @param {WallState} state */
  #showWall(state) {
    const { facts } = state;
    this.shown.get(facts.id)?.abort();
    const shown = new AbortController();
    this.shown.set(facts.id, shown);
    const place = byId(`body-${facts.id}`);
    const focused = keptFocus(place);
    fill(
      place,
      gateLine(state),
      sizeTable(state, (size) => this.pad.show(facts.id, size), shown.signal),
      photoStrip(state, this.queue, (work) => void this.notice.guard(work), shown.signal),
    );
    if (focused) /** @type {HTMLElement | null} */ (place.querySelector(focused))?.focus();
  }

  /** @param {{wall: string}} sent */
  async #sent({ wall }) {
    await this.notice.guard(() => this.facts.refresh(wall));
    await this.notice.guard(() => this.#untilLooked(wall));
  }

  /** Asks again until the service has looked at every photo of a wall. @param {string} wall */
  async #untilLooked(wall) {
    const looking = () => this.facts.walls.get(wall)?.facts.photos.some((photo) => photo.state === 'looking');
    for (let waitMs = 400; looking() && !this.signal.aborted; waitMs = Math.min(waitMs * 1.5, 4000)) {
      await new Promise((done) => setTimeout(done, waitMs));
      await this.facts.refresh(wall);
    }
  }
}

/**
 * A photo of the wall in which the point is set, else the wall's first.
 * @param {WallState} state
 * @param {string} point
 */
function photoOf({ facts }, point) {
  const ready = facts.photos.filter((photo) => photo.state === 'ready');
  const photo = ready.find((one) => point in (one.marks ?? {})) ?? ready[0];
  return photo
    ? `/photo.html?photo=${encodeURIComponent(photo.id)}&point=${encodeURIComponent(point)}`
    : null;
}

/**
 * How to find the focused element again after its place was drawn anew.
 * @param {HTMLElement} place
 */
function keptFocus(place) {
  const now = document.activeElement;
  if (!now || !place.contains(now)) return null;
  if (now.id) return `#${CSS.escape(now.id)}`;
  const size = now.getAttribute('data-size');
  return size ? `[data-size="${CSS.escape(size)}"]` : null;
}

/** @param {string} words */
const headed = (words) => `${words[0].toUpperCase()}${words.slice(1)}`;

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'job' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) {
  const page = new JobPage(id, life.signal);
  void page.notice.guard(() => page.open());
} else {
  location.replace('/');
}
