/** One photo: its cards, and the wall's points set in it. */
import { Problem, read } from '../api.js';
import { namedPoints } from '../geometry/wall_points.js';
import { byId, el, fill, listen } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { photoFacts } from '../parts/photo_facts.js';
import { PointHand } from '../parts/point_hand.js';
import { pointList } from '../parts/point_list.js';
import { servedSizes } from '../parts/served_sizes.js';
import { reticle } from '../photo/aim_mark.js';
import { Gestures } from '../photo/gestures.js';
import { photoKey, zoomBy } from '../photo/keys.js';
import { Loupe } from '../photo/loupe.js';
import { PhotoOverlay } from '../photo/overlay.js';
import { sdPixels } from '../photo/precision.js';
import { PhotoViewer } from '../photo/viewer.js';
import { JobFacts } from '../state/job_facts.js';
import { nextUnset } from '../state/point_order.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').PhotoFacts} PhotoFacts */
/** @typedef {import('../photo/precision.js').Way} Way */

const NEAR_SCALE = 2;
const TAP_SETS_FROM = 0.4;
const REACH_PX = 24;
const LOOK_AGAIN_MS = 600;

class PhotoPage {
  /** @param {PhotoFacts} photo @param {JobFacts} facts @param {AbortSignal} signal */
  constructor(photo, facts, signal) {
    this.photo = photo;
    this.facts = facts;
    this.signal = signal;
    this.notice = new Notice(byId('notice'), signal);
    this.stage = byId('stage');
    this.viewer = new PhotoViewer(byId('photo'), photo, signal);
    this.overlay = new PhotoOverlay(this.stage, this.viewer);
    this.loupe = new Loupe(this.stage);
    this.stage.append(reticle());
    this.hand = new PointHand(byId('hand'), this.#handDoing(), signal);
    this.listed = new AbortController();
    this.point = '';
  }

  /** @param {string | null} asked name of a point */
  async open(asked) {
    await this.viewer.opened();
    new Gestures(this.stage, this.viewer, this.#gestureDoing(), this.signal);
    listen(this.stage, 'keydown', (event) => this.#key(event), this.signal);
    this.overlay.showCards(this.photo.cards);
    this.viewer.onMove(() => this.#noteView());
    this.#noteView();
    this.facts.addEventListener('changed', () => this.#show(), { signal: this.signal });
    this.facts.keepUp(this.signal);
    fill(byId('found'), photoFacts(this.photo));
    if (asked && this.names.includes(asked)) this.choose(asked);
    else this.#take(nextUnset(this.names, this.done, this.names.at(-1) ?? '') ?? this.names[0] ?? '');
    document.documentElement.dataset.ready = 'true';
    performance.mark('photo usable');
  }

  get #state() {
    const state = this.facts.walls.get(this.photo.wall);
    if (!state) throw new Error('The wall of this photo is not loaded.');
    return state;
  }

  /** Every point of the wall, in the order they are set. */
  get names() {
    return namedPoints(this.#state.facts);
  }

  /** The marks of this photo. */
  get marks() {
    return this.#state.facts.photos.find((photo) => photo.id === this.photo.id)?.marks ?? {};
  }

  get done() {
    return new Set(Object.keys(this.marks));
  }

  /** Takes a point in hand and, where it is set, goes to it. @param {string} name */
  choose(name) {
    const mark = this.marks[name];
    if (mark)
      this.viewer.show({
        scale: Math.max(this.viewer.scale, NEAR_SCALE),
        centre: { x: mark.at[0], y: mark.at[1] },
      });
    this.#take(name);
  }

  /** @param {string} name */
  #take(name) {
    this.point = name;
    this.#show();
  }

  #show() {
    const { facts } = this.#state;
    this.hand.show(facts, this.point, this.marks[this.point], this.#otherMark());
    this.overlay.showMarks(this.marks, this.point);
    this.listed.abort();
    this.listed = new AbortController();
    const place = byId('points');
    const focused = document.activeElement?.getAttribute('data-point');
    fill(
      place,
      pointList(facts, this.names, this.done, this.point, (name) => this.choose(name), this.listed.signal),
    );
    if (focused)
      /** @type {HTMLElement | null} */ (
        place.querySelector(`[data-point="${CSS.escape(focused)}"]`)
      )?.focus();
    fill(byId('served'), servedSizes(this.#state, this.lastSet ?? this.point));
  }

  /** The same point in another photo. */
  #otherMark() {
    const other = this.#state.facts.photos.find((photo) => this.point in (photo.marks ?? {}));
    return other?.marks[this.point];
  }

  /** What is seen, for scripts that drive the page: the aim in image pixels, screen px for each. */
  #noteView() {
    const { scale, centre } = this.viewer.view;
    Object.assign(this.stage.dataset, { aimX: centre.x, aimY: centre.y, scale });
  }

  /** Sets the point in hand. @param {Point} image @param {Way} way */
  async set(image, way) {
    const name = this.point;
    if (!name) return;
    const started = performance.now();
    const at = [round(image.x), round(image.y)];
    const mark = { at, sd_px: sdPixels(way, this.viewer.scale), ...this.hand.facts };
    this.lastSet = name;
    this.#say(`${name} is being set…`);
    const path = `${this.#path}/marks/${encodeURIComponent(name)}`;
    await this.#try(async () => {
      await this.facts.change(this.photo.wall, 'PUT', path, mark);
      this.#say(`${name} set.`);
      if (this.point === name) this.#goOn(name);
      requestAnimationFrame(() =>
        performance.measure('mark to sizes', { start: started, end: performance.now() }),
      );
    });
  }

  /**
   * Changes something; where that fails, everything is shown as it was.
   * @param {() => Promise<void>} change
   */
  async #try(change) {
    await this.notice.guard(async () => {
      try {
        await change();
      } catch (error) {
        this.#say('');
        this.#show();
        throw error;
      }
    });
  }

  /** The next point to set comes to hand; the photo stays where it is. @param {string} name */
  #goOn(name) {
    this.#take(nextUnset(this.names, this.done, name) ?? name);
  }

  get #path() {
    return `/photos/${this.photo.id}`;
  }

  async #remove() {
    const name = this.point;
    const path = `${this.#path}/marks/${encodeURIComponent(name)}`;
    await this.#try(async () => {
      await this.facts.change(this.photo.wall, 'DELETE', path);
      this.#say(`${name} removed.`);
    });
  }

  async #undo() {
    await this.#try(async () => {
      await this.facts.change(this.photo.wall, 'POST', `/walls/${this.photo.wall}/undo`);
      this.#say('Taken back.');
    });
  }

  /** @param {number} by */
  #step(by) {
    const names = this.names;
    const at = names.indexOf(this.point);
    this.choose(names[(at + by + names.length) % names.length] ?? '');
  }

  #handDoing() {
    return {
      set: () => void this.set(this.viewer.aim, 'aim'),
      step: (/** @type {number} */ by) => this.#step(by),
      undo: () => void this.#undo(),
      remove: () => void this.#remove(),
      zoom: (/** @type {number} */ factor) => zoomBy(this.viewer, factor),
      fit: () => this.viewer.fit(),
    };
  }

  /** @returns {import('../photo/gestures.js').Doing} */
  #gestureDoing() {
    return {
      grab: (screen) => {
        const near = this.overlay.markNear(screen, REACH_PX);
        return near && near.name === this.point ? near : null;
      },
      dragged: (name, image, screen) => {
        this.overlay.moveMark(name, image);
        this.loupe.show(this.viewer.canvas, screen);
      },
      dropped: (_name, image) => {
        this.loupe.hide();
        void this.set(image, 'drag');
      },
      putBack: (name, image) => {
        this.loupe.hide();
        this.overlay.moveMark(name, image);
      },
      tapped: (screen, touch) => this.#tapped(screen, touch),
    };
  }

  /**
   * On a small photo, where a finger covers much, a tap goes there. On a large one it takes the mark
   * that it meets in hand, or sets the point.
   * @param {Point} screen
   * @param {boolean} touch
   */
  #tapped(screen, touch) {
    const image = this.viewer.toImage(screen);
    const near = this.overlay.markNear(screen, REACH_PX / 2);
    if (this.viewer.scale < TAP_SETS_FROM) this.viewer.show({ scale: NEAR_SCALE, centre: image });
    else if (near && near.name !== this.point) this.choose(near.name);
    else void this.set(image, touch ? 'finger' : 'mouse');
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const aimed = () => {
      const { x, y } = this.viewer.aim;
      this.#say(`Aim ${x.toFixed(1)}, ${y.toFixed(1)}`);
    };
    photoKey(event, this.viewer, { set: () => void this.set(this.viewer.aim, 'aim'), aimed });
    this.#noteView();
  }

  /** @param {string} text */
  #say(text) {
    byId('said').textContent = text;
  }
}

/** @param {number} value */
const round = (value) => Math.round(value * 100) / 100;

/**
 * The photo once the service has looked at it.
 * @param {string} id
 * @param {AbortSignal} signal
 * @returns {Promise<PhotoFacts>}
 */
async function looked(id, signal) {
  let photo = await read(`/photos/${id}`, { signal });
  while (photo.state === 'looking') {
    fill(byId('found'), photoFacts(photo));
    await new Promise((done) => setTimeout(done, LOOK_AGAIN_MS));
    photo = await read(`/photos/${id}`, { signal });
  }
  return photo;
}

/** @param {string} id @param {URLSearchParams} asked @param {AbortSignal} signal */
async function open(id, asked, signal) {
  const photo = await looked(id, signal);
  showHeader(byId('header'), { job: photo.job, here: 'photo' }, signal);
  byId('photo-name').textContent = photo.filename;
  document.title = `${photo.filename} – Tapeproof`;
  byId('back').setAttribute('href', `/job.html?job=${encodeURIComponent(photo.job)}`);
  if (photo.state !== 'ready') {
    fill(byId('found'), photoFacts(photo));
    byId('stage').hidden = true;
    return;
  }
  const facts = new JobFacts(photo.job);
  await facts.loadWall(photo.wall);
  await new PhotoPage(photo, facts, signal).open(asked.get('point'));
}

const life = new AbortController();
const asked = new URLSearchParams(location.search);
const id = asked.get('photo');
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) {
  open(id, asked, life.signal).catch((error) => {
    if (error instanceof Problem) fill(byId('notice'), el('p', { class: 'notice failed' }, error.text));
    else throw error;
  });
} else {
  location.replace('/');
}
