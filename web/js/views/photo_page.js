/** One photo: its cards, and the wall's points set in it. */
import { largestSd } from '../geometry/ellipse.js';
import { isFixture } from '../geometry/sizes.js';
import { foot } from '../geometry/vectors.js';
import { byId, el, fill, listen } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { MeasuredOnPhoto } from '../parts/measured_on_photo.js';
import { NearPoints } from '../parts/near_points.js';
import { OutlineWork } from '../parts/outline_work.js';
import { photoFacts, whatHelps } from '../parts/photo_facts.js';
import { lookedAt } from '../parts/photo_looked.js';
import { PointHand } from '../parts/point_hand.js';
import { PointList } from '../parts/point_list.js';
import { servedSizes } from '../parts/served_sizes.js';
import { SuggestionList } from '../parts/suggestion_list.js';
import { reticle } from '../photo/aim_mark.js';
import { cardLayer } from '../photo/card_layer.js';
import { Gestures } from '../photo/gestures.js';
import { photoKey, zoomBy } from '../photo/keys.js';
import { Loupe } from '../photo/loupe.js';
import { MarkLayer } from '../photo/mark_layer.js';
import { PhotoOverlay } from '../photo/overlay.js';
import { sdPixels } from '../photo/precision.js';
import { suggestedLayer } from '../photo/suggested_layer.js';
import { PhotoViewer } from '../photo/viewer.js';
import { JobFacts } from '../state/job_facts.js';
import { suggestionsOf } from '../state/photo_asking.js';
import { PhotoPoints } from '../state/photo_points.js';
import { nextUnset } from '../state/point_order.js';

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').PhotoFacts} PhotoFacts */
/** @typedef {import('../types.js').MarkFacts} MarkFacts */
/** @typedef {import('../photo/precision.js').Way} Way */

const NEAR_SCALE = 2;
const TAP_SETS_FROM = 0.4;
const REACH_PX = 24;
/** A hand that sets one mark after another is not kept waiting by what is only looked at. */
const PLACE_AFTER_MS = 250;

class PhotoPage {
  /** @param {PhotoFacts} photo @param {JobFacts} facts @param {AbortSignal} signal */
  constructor(photo, facts, signal) {
    this.photo = photo;
    this.facts = facts;
    this.wall = new PhotoPoints(facts, photo);
    this.signal = signal;
    this.notice = new Notice(byId('notice'), signal);
    this.stage = byId('stage');
    this.viewer = new PhotoViewer(byId('photo'), photo, signal);
    this.overlay = new PhotoOverlay(this.stage, this.viewer);
    this.loupe = new Loupe(this.stage);
    this.stage.append(reticle());
    this.hand = new PointHand(byId('hand'), this.#handDoing(), signal);
    this.list = new PointList(byId('points'), (name) => this.choose(name), signal);
    this.suggested = new SuggestionList(byId('suggested'), this.#suggestionDoing(), signal);
    const near = { place: byId('near'), stage: this.stage, overlay: this.overlay, photo: photo.id };
    this.near = new NearPoints(near, this.#nearDoing(), signal);
    this.outlines = new OutlineWork(this.#outlinePlaces(), this.#outlineDoing(), signal);
    this.marks = new MarkLayer({}, '');
    const over = { overlay: this.overlay, note: byId('scale-note'), press: this.hand.sizes, photo: photo.id };
    this.measured = new MeasuredOnPhoto(over, signal);
    this.point = '';
  }

  /** @param {string | null} asked name of a point */
  async open(asked) {
    await this.viewer.opened();
    new Gestures(this.stage, this.viewer, this.#gestureDoing(), this.signal);
    listen(this.stage, 'keydown', (event) => this.#key(event), this.signal);
    this.overlay.show('cards', cardLayer(this.photo.cards));
    this.viewer.onMove(() => this.#noteView());
    this.#noteView();
    this.facts.addEventListener('changed', () => this.#changed(), { signal: this.signal });
    this.facts.keepUp(this.signal);
    globalThis.addEventListener('expectation', () => location.reload(), { signal: this.signal });
    if (asked && this.wall.names.includes(asked)) this.choose(asked);
    else this.#take(this.#firstUnset);
    document.documentElement.dataset.ready = 'true';
    performance.mark('photo usable');
    void this.#lookAtPlace();
  }

  /** The first point that is not set in this photo; the first of all where every one is. */
  get #firstUnset() {
    const { names, done } = this.wall;
    return nextUnset(names, done, names.at(-1) ?? '') ?? names[0] ?? '';
  }

  /** Takes a point in hand and goes to where it is set, or to where the other photos put it. @param {string} name */
  choose(name) {
    const there = this.wall.here[name] ?? this.measured.place.points[name];
    if (there)
      this.viewer.show({
        scale: Math.max(this.viewer.scale, NEAR_SCALE),
        centre: { x: there.at[0], y: there.at[1] },
      });
    this.near.drop();
    this.#take(name);
  }

  /** @param {string} name */
  #take(name) {
    this.point = name;
    this.#show();
  }

  /** New facts: what lies on the photo is asked for again, after the sizes are on the screen. */
  #changed() {
    this.#show();
    clearTimeout(this.later);
    this.later = setTimeout(() => void this.#lookAtPlace(), PLACE_AFTER_MS);
  }

  async #lookAtPlace() {
    if (await this.measured.ask()) this.#showMeasured();
  }

  #show() {
    const { facts, report } = this.wall.state;
    this.hand.show(facts, this.point, this.wall.here[this.point], this.wall.elsewhere(this.point));
    this.marks = new MarkLayer(this.wall.here, this.point);
    this.overlay.show('marks', this.marks);
    this.list.show(facts, this.wall.names, this.wall.done, this.point);
    this.suggested.name(this.point);
    this.outlines.show(facts);
    fill(byId('served'), servedSizes(this.wall.state, this.lastSet ?? this.point), whatHelps(report));
    fill(byId('found'), photoFacts(this.photo, report));
    this.#showMeasured();
  }

  #showMeasured() {
    this.measured.show(this.wall.state, this.point, this.wall.done);
  }

  /** What is seen, for scripts that drive the page: the aim in image pixels, screen px for each. */
  #noteView() {
    const { scale, centre } = this.viewer.view;
    Object.assign(this.stage.dataset, { aimX: centre.x, aimY: centre.y, scale });
    this.measured.scaled(scale);
  }

  /** Sets the point in hand. @param {Point} image @param {Way} way */
  async set(image, way) {
    const name = this.point;
    const at = /** @type {import('../types.js').Pair} */ ([round(image.x), round(image.y)]);
    const sd_px = sdPixels(way, this.viewer.scale);
    if (this.outlines.active) return this.outlines.add(at, sd_px);
    if (!name) return undefined;
    const mark = { at, sd_px, ...this.hand.facts };
    this.near.drop();
    if (await this.#put(name, mark)) void this.near.ask(name, mark, isFixture(name));
    return undefined;
  }

  /**
   * @param {string} name of the point
   * @param {MarkFacts & {snapped_to?: string}} mark
   * @returns {Promise<boolean>} whether it was set
   */
  async #put(name, mark) {
    const started = performance.now();
    this.lastSet = name;
    this.#say(`${name} is being set…`);
    return this.#change(`${name} set.`, async () => {
      await this.facts.change(this.photo.wall, 'PUT', this.#markPath(name), mark);
      if (this.point === name) this.#goOn(name);
      requestAnimationFrame(() =>
        performance.measure('mark to sizes', { start: started, end: performance.now() }),
      );
    });
  }

  /**
   * Changes something; where that fails, everything is shown as it was.
   * @param {string} said once it is done
   * @param {() => Promise<void>} change
   */
  async #change(said, change) {
    const done = await this.notice.guard(async () => {
      try {
        await change();
      } catch (error) {
        this.#say('');
        this.#show();
        throw error;
      }
      this.notice.clear();
      this.#say(said);
      return true;
    });
    return done ?? false;
  }

  /** The next point to set comes to hand; the photo stays where it is. @param {string} name */
  #goOn(name) {
    this.#take(nextUnset(this.wall.names, this.wall.done, name) ?? name);
  }

  /** @param {string} name */
  #markPath(name) {
    return `/photos/${this.photo.id}/marks/${encodeURIComponent(name)}`;
  }

  /** What the point in hand lies on, of a mark that stays where it is: said once for all photos. */
  #lies() {
    const name = this.point;
    const { standoff_mm: before, standoff_u_mm: _u, ...mark } = this.wall.here[name];
    const changed = { ...mark, ...this.hand.facts };
    const where = (changed.standoff_mm ?? 0) === (before ?? 0) ? '' : ' in every photo';
    return this.#change(`${name} changed${where}.`, () =>
      this.facts.change(this.photo.wall, 'PUT', this.#markPath(name), changed),
    );
  }

  #remove() {
    const name = this.point;
    this.near.drop();
    return this.#change(`${name} removed.`, () =>
      this.facts.change(this.photo.wall, 'DELETE', this.#markPath(name)),
    );
  }

  /** @param {'undo' | 'redo'} way @param {string} said */
  #step(way, said) {
    this.near.drop();
    return this.#change(said, () =>
      this.facts.change(this.photo.wall, 'POST', `/walls/${this.photo.wall}/${way}`),
    );
  }

  /** @param {number} by */
  #next(by) {
    const names = this.wall.names;
    const at = names.indexOf(this.point);
    this.choose(names[(at + by + names.length) % names.length] ?? '');
  }

  #handDoing() {
    return {
      set: () => void this.set(this.viewer.aim, 'aim'),
      step: (/** @type {number} */ by) => this.#next(by),
      undo: () => void this.#step('undo', 'Taken back.'),
      redo: () => void this.#step('redo', 'Done again.'),
      remove: () => void this.#remove(),
      lies: () => void this.#lies(),
      zoom: (/** @type {number} */ factor) => zoomBy(this.viewer, factor),
      fit: () => this.viewer.fit(),
      sizes: () => {
        this.measured.shown = !this.measured.shown;
        this.#showMeasured();
      },
    };
  }

  /** @returns {ConstructorParameters<typeof NearPoints>[1]} */
  #nearDoing() {
    return {
      use: (name, mark, snap) => {
        const sd_px = round(largestSd(snap.cov_px2));
        const moved = { ...mark, at: snap.at, sd_px, cov_px2: snap.cov_px2, snapped_to: snap.kind };
        void this.#put(name, moved);
      },
      kept: (name) => this.#say(`${name} stays as you set it.`),
      length: (px) => this.measured.lengthWords(px, this.wall.state),
    };
  }

  /** @returns {ConstructorParameters<typeof SuggestionList>[1]} */
  #suggestionDoing() {
    const placed = (/** @type {import('../state/suggestions.js').Open} */ { at }) => {
      const [a, b] = at.map(([x, y]) => ({ x, y }));
      return b ? foot(this.viewer.aim, a, b) : a;
    };
    return {
      find: () => this.notice.guard(() => suggestionsOf(this.photo.id, this.signal)),
      changed: (open) => this.overlay.show('suggested', suggestedLayer(open)),
      look: (one) => this.viewer.show({ scale: NEAR_SCALE / 2, centre: placed(one) }),
      set: (one) => {
        const at = placed(one);
        this.viewer.show({ scale: Math.max(this.viewer.scale, NEAR_SCALE), centre: at });
        void this.set(at, 'suggested');
        if (one.at.length === 1) this.suggested.drop(one.letter);
      },
      line: async (one) => Boolean(one.line && (await this.outlines.takeLine(one.kind, one.line))),
    };
  }

  #outlinePlaces() {
    const [side, work, hand] = ['outlines', 'outline', 'hand'].map(byId);
    return { side, work, hand, stage: this.stage, overlay: this.overlay, photo: this.photo.id };
  }

  /** @returns {ConstructorParameters<typeof OutlineWork>[1]} */
  #outlineDoing() {
    return {
      set: () => void this.set(this.viewer.aim, 'aim'),
      put: (said, method, path, body) =>
        this.#change(said, () => this.facts.change(this.photo.wall, method, path, body)),
      guard: (work) => void this.notice.guard(work),
    };
  }

  /** @returns {import('../photo/gestures.js').Doing} */
  #gestureDoing() {
    const putTo = (/** @type {string} */ name, /** @type {Point} */ image) =>
      this.marks.move(name, image, this.viewer);
    return {
      grab: (screen) => {
        const near = this.marks.near(screen, REACH_PX, this.viewer);
        return near && near.name === this.point && !this.outlines.active ? near : null;
      },
      dragged: (name, image, screen) => {
        putTo(name, image);
        this.loupe.show(this.viewer.canvas, screen);
      },
      dropped: (_name, image) => {
        this.loupe.hide();
        void this.set(image, 'drag');
      },
      putBack: (name, image) => {
        this.loupe.hide();
        putTo(name, image);
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
    const near = this.marks.near(screen, REACH_PX / 2, this.viewer);
    if (this.viewer.scale < TAP_SETS_FROM) this.viewer.show({ scale: NEAR_SCALE, centre: image });
    else if (near && near.name !== this.point && !this.outlines.active) this.choose(near.name);
    else void this.set(image, touch ? 'finger' : 'mouse');
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const { set, undo, redo } = this.#handDoing();
    const aimed = () => {
      const { x, y } = this.viewer.aim;
      this.#say(`Aim ${x.toFixed(1)}, ${y.toFixed(1)}`);
    };
    const near = { use: (/** @type {number} */ index) => this.near.use(index), keep: () => this.near.keep() };
    photoKey(event, this.viewer, { set, undo, redo, aimed, ...near });
    this.#noteView();
  }

  /** @param {string} text */
  #say(text) {
    byId('said').textContent = text;
  }
}

/** @param {number} value */
const round = (value) => Math.round(value * 100) / 100;

/** @param {string} id @param {URLSearchParams} asked @param {AbortSignal} signal */
async function open(id, asked, signal) {
  const photo = await lookedAt(id, byId('found'), signal);
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
  void new Notice(byId('notice'), life.signal).opening(() => open(id, asked, life.signal));
} else {
  location.replace('/');
}
