/** The job: three walls unfolded, their sizes, their photos. */
import { standingReadings, wallWords } from '../drawing/words.js';
import { button, byId, el, fill } from '../page/dom.js';
import { HeldKey, keepingFocus } from '../page/focus.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { AboveBoard } from '../parts/above_board.js';
import { agreement } from '../parts/agreement.js';
import { addChecking } from '../parts/checking_sizes.js';
import { wallClosures } from '../parts/closures.js';
import { gateLine } from '../parts/gate_line.js';
import { photoPickers, photoStrip } from '../parts/photo_strip.js';
import { askForRole } from '../parts/role_ask.js';
import { sizeTable } from '../parts/size_table.js';
import { tapeNext } from '../parts/tape_next.js';
import { unsentReadings } from '../parts/unsent_readings.js';
import { WallEditor } from '../parts/wall_editor.js';
import { WallsBoard } from '../parts/walls_board.js';
import { ReadingPad } from '../readings/pad.js';
import { JobFacts } from '../state/job_facts.js';
import { UploadQueue } from '../state/upload_queue.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

class JobPage {
  /** @param {string} id @param {AbortSignal} signal */
  constructor(id, signal) {
    this.signal = signal;
    this.facts = new JobFacts(id, { whole: true });
    this.queue = new UploadQueue();
    this.notice = new Notice(byId('notice'), signal);
    this.pad = new ReadingPad(this.facts, signal);
    this.keys = new HeldKey(signal);
    this.editor = new WallEditor(this.facts, signal);
    /** @type {Map<string, AbortController>} */
    this.shown = new Map();
  }

  async open() {
    await this.facts.load();
    byId('job-name').textContent = this.facts.job.name;
    document.title = `${this.facts.job.name} – Tapeproof`;
    byId('to-face').setAttribute('href', `/plan.html?job=${encodeURIComponent(this.facts.id)}#settings-title`);
    this.#places();
    this.board = new WallsBoard(byId('board'), this.facts, this.#doing(), this.signal);
    this.board.show();
    this.above = new AboveBoard(byId('above'), this.facts, this.#doing().openSize, this.signal);
    this.above.show();
    this.#chosen(this.board.wall);
    this.#showAll();
    this.#showAlcove();
    const judged = () => this.keys.afterwards('judged', () => this.#judged());
    this.facts.addEventListener('judged', judged, { signal: this.signal });
    askForRole(byId('role-ask'), this.signal);
    this.#showUnsent();
    const typed = () => {
      this.#showUnsent();
      this.#showAll();
    };
    this.facts.addEventListener('unsent', typed, { signal: this.signal });
    const seen = () => void this.notice.guard(() => this.facts.load());
    globalThis.addEventListener('expectation', seen, { signal: this.signal });
    const sending = () => this.keys.afterwards('sending', () => this.#showAll());
    this.queue.addEventListener('changed', sending, { signal: this.signal });
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
      asked: new URLSearchParams(location.search).get('wall'),
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
        this.#wallHead(facts.id, headed(words)),
        el('div', { id: `body-${facts.id}` }),
        photoPickers(facts.id, this.queue, guard, this.signal),
        el('div', { id: `sizes-${facts.id}` }),
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

  /**
   * The wall's name, and what is done to the whole of it; made once, as the pickers are.
   * @param {string} id
   * @param {string} words
   */
  #wallHead(id, words) {
    const step = (/** @type {'undo' | 'redo'} */ which, /** @type {string} */ said) => () =>
      void this.notice.guard(async () => {
        await this.facts.change(id, 'POST', `/walls/${id}/${which}`);
        this.notice.say(said);
      });
    const { signal } = this;
    return el(
      'div',
      { class: 'wall-head' },
      el('h3', {}, words),
      el(
        'div',
        { class: 'buttons' },
        button('Undo', step('undo', 'Your last change of this wall is taken back.'), signal),
        button('Redo', step('redo', 'It is done again.'), signal),
        button('Lines and sizes', () => this.editor.show(id), signal),
      ),
    );
  }

  /** @param {string} name of a wall */
  #idOf(name) {
    return this.facts.inOrder().find(({ facts }) => facts.name === name)?.facts.id ?? '';
  }

  /**
   * @param {import('../types.js').SizeToTape} one
   * @param {{anew: boolean}} [how] anew: the new reading takes the place of the one that does not fit
   */
  #tape({ wall, size }, how) {
    const id = this.#idOf(wall);
    const facts = this.facts.walls.get(id)?.facts;
    const standing = facts && how?.anew ? standingReadings(facts, size) : [];
    this.pad.show(id, size, standing.length === 1 ? standing[0].id : null);
  }

  /** A reading on one wall counts on its neighbours too, so everything is shown anew. */
  #judged() {
    this.board?.show();
    this.above?.show();
    this.#showAll();
    this.#showAlcove();
  }

  #showAlcove() {
    this.alcoveShown?.abort();
    this.alcoveShown = new AbortController();
    const place = byId('alcove');
    const openSize = (/** @type {string} */ wall, /** @type {string} */ size) => this.pad.show(wall, size);
    const { signal } = this.alcoveShown;
    keepingFocus(place, () => fill(place, agreement(this.facts, openSize, signal)));
  }

  #showUnsent() {
    const open = (/** @type {string} */ wall, /** @type {string} */ size) => this.pad.show(wall, size);
    fill(byId('unsent'), unsentReadings(this.facts, open, () => this.#showUnsent(), this.signal));
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
    keepingFocus(place, () =>
      fill(
        place,
        gateLine(state, this.facts.job.released[facts.name]),
        tapeNext(state, (one, how) => this.#tape(one, how), shown.signal),
        photoStrip(state, this.queue, (work) => void this.notice.guard(work), shown.signal),
      ),
    );
    const sizes = byId(`sizes-${facts.id}`);
    keepingFocus(sizes, () =>
      fill(
        sizes,
        sizeTable(state, (size) => this.pad.show(facts.id, size), shown.signal),
        addChecking(facts, this.facts.job.scope, (added) => this.#addSizes(facts.id, added), shown.signal),
        state.alcove ? wallClosures(state.alcove) : null,
      ),
    );
  }

  /** @param {string} id of a wall @param {Record<string, unknown>} sizes by name */
  #addSizes(id, sizes) {
    void this.notice.guard(async () => {
      await this.facts.change(id, 'POST', `/walls/${id}/dimensions`, { sizes });
      this.notice.say(`Added, to be taped when there is time: ${Object.keys(sizes).join(', ')}.`);
      this.#showSize(id, Object.keys(sizes)[0]);
    });
  }

  /** The size that the address asks for, once the page is there. */
  showAsked() {
    const asked = new URLSearchParams(location.search);
    const size = asked.get('size');
    if (size) this.#showSize(this.#idOf(asked.get('wall') ?? ''), size);
  }

  /** Its row, and the focus there. @param {string} wall its id @param {string} size */
  #showSize(wall, size) {
    const place = document.getElementById(`sizes-${wall}`);
    const row = /** @type {HTMLElement | null} */ (place?.querySelector(`button[data-size="${CSS.escape(size)}"]`));
    row?.focus({ preventScroll: true });
    row?.scrollIntoView({ block: 'center' });
  }

  /** @param {{wall: string}} sent */
  async #sent({ wall }) {
    if (!wall) return; // a photo of a card, for the cards page
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

/** @param {string} words */
const headed = (words) => `${words[0].toUpperCase()}${words.slice(1)}`;

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'job' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) {
  const page = new JobPage(id, life.signal);
  void page.notice.opening(() => page.open()).then(() => page.showAsked());
} else {
  location.replace('/');
}
