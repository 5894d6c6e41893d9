/** Setting the corners of a thing of known size, or points along a straight line, one after another. */
import { write } from '../api.js';
import { button, el, fill, listen } from '../page/dom.js';
import { labelled } from '../page/field.js';
import { outlineLayer } from '../photo/outline_layer.js';
import { edgesOf } from '../state/photo_asking.js';
import { CORNERS, EDGE_U_PX, OUTLINES, TAPED_U_MM, fewestPoints } from '../state/outline_kinds.js';

/** @typedef {import('../types.js').Pair} Pair */
/** @typedef {import('../types.js').EdgePoints} EdgePoints */
/** @typedef {import('../state/outline_kinds.js').OutlineKind} OutlineKind */

export class OutlineWork {
  /**
   * @param {{side: HTMLElement, work: HTMLElement, hand: HTMLElement, stage: HTMLElement,
   *   overlay: import('../photo/overlay.js').PhotoOverlay, photo: string}} where
   * @param {{set: () => void, guard: (work: () => Promise<void>) => void,
   *   put: (said: string, method: 'PUT' | 'DELETE', path: string, body?: unknown) => Promise<boolean>}} doing
   * @param {AbortSignal} signal
   */
  constructor(where, doing, signal) {
    this.where = where;
    this.doing = doing;
    this.signal = signal;
    /** @type {OutlineKind | null} what is being set */
    this.kind = null;
    /** @type {Pair[]} */
    this.points = [];
    this.sd_px = 0;
    /** @type {EdgePoints[] | null} what was found from corner to corner, not yet accepted */
    this.edges = null;
    /** @type {import('../types.js').WallFacts | null} */
    this.facts = null;
    this.#form();
    this.#hand();
  }

  get #isWhole() {
    return this.kind?.as === 'rectangle' && this.points.length === CORNERS.length;
  }

  get active() {
    return this.kind !== null;
  }

  #form() {
    const { signal } = this;
    const words = OUTLINES.map(({ key, word }) => el('option', { value: key }, word));
    this.choice = el('select', { id: 'outline-kind' }, ...words);
    const ways = ['across', 'up'].map((way) => el('option', { value: way }, way));
    this.lies = el('select', { id: 'outline-lies' }, ...ways);
    this.serial = el('input', { id: 'outline-serial', type: 'text', inputmode: 'numeric', maxlength: 3 });
    this.wide = el('input', { id: 'outline-wide', type: 'text' });
    this.high = el('input', { id: 'outline-high', type: 'text' });
    this.why = el('p', { class: 'quiet-text', role: 'status' });
    this.begin = button('Set it in the photo', () => this.doing.guard(() => this.#begin()), signal);
    this.list = el('ul', { class: 'suggestions', 'aria-label': 'Set in this photo' });
    this.fields = {
      lies: labelled('Its long side runs', this.lies),
      serial: labelled('Number printed on the card', this.serial),
      wide: labelled('Across, as taped', this.wide),
      high: labelled('Up, as taped', this.high),
    };
    listen(this.choice, 'change', () => this.#chosen(), signal);
    fill(
      this.where.side,
      el('summary', {}, 'Known sizes and straight lines'),
      labelled('It is', this.choice),
      ...Object.values(this.fields),
      this.why,
      this.begin,
      this.list,
    );
    this.#chosen();
  }

  #chosen() {
    const kind = this.#kind;
    this.fields.lies.hidden = !kind.size_mm;
    this.fields.serial.hidden = kind.key !== 'card';
    this.fields.wide.hidden = this.fields.high.hidden = kind.key !== 'own';
    this.why.textContent = kind.why ?? '';
    this.begin.disabled = kind.as === 'refused';
  }

  /** @returns {OutlineKind} */
  get #kind() {
    return OUTLINES.find(({ key }) => key === this.choice?.value) ?? OUTLINES[0];
  }

  #hand() {
    const { signal } = this;
    this.title = el('h2', { 'aria-live': 'polite' });
    this.set = button('', () => this.doing.set(), signal, { class: 'primary set-corner' });
    this.done = button('Done', () => void this.#send(), signal);
    this.use = button('Use its edges', () => void this.#send(this.edges), signal, { class: 'primary' });
    const keep = button('Keep the corners as set', () => void this.#send(), signal);
    this.found = el('div', { class: 'hand-set', hidden: true }, this.use, keep);
    const tools = el(
      'div',
      { class: 'hand-tools' },
      this.done,
      button('Back one', () => this.#backOne(), signal),
      button('Leave it', () => this.#end(), signal),
    );
    fill(this.where.work, this.title, this.found, this.set, tools);
  }

  async #begin() {
    const kind = this.#kind;
    this.size_mm = kind.key === 'own' ? [await mm(this.wide), await mm(this.high)] : kind.size_mm;
    this.kind = kind;
    this.edges = null;
    this.points = [];
    this.sd_px = 0;
    this.#show();
    this.where.stage.scrollIntoView({ block: 'nearest' });
    this.where.stage.focus({ preventScroll: true });
  }

  /** Sets the next corner or point. @param {Pair} at @param {number} sd_px */
  add(at, sd_px) {
    if (!this.kind || this.#isWhole) return;
    this.points = [...this.points, at];
    this.sd_px = Math.max(this.sd_px, sd_px);
    if (!this.#isWhole) this.#show();
    else if (this.kind.key === 'card') void this.#send();
    else void this.#lookForEdges();
  }

  /** Where all four edges are found, they are offered; a hand's corners are kept else. */
  async #lookForEdges() {
    const { kind, points } = this;
    this.#show();
    const found = await edgesOf(this.where.photo, points, this.sd_px, this.signal);
    if (this.kind !== kind || this.points !== points || this.signal.aborted) return;
    const edges = found.flatMap((edge) => (edge ? [edge] : []));
    if (edges.length < CORNERS.length) return void this.#send();
    this.edges = edges;
    this.#show();
    this.where.overlay.viewer.showAll(points);
    this.use?.focus({ preventScroll: true });
  }

  #backOne() {
    this.edges = null;
    this.points = this.points.slice(0, -1);
    this.#show();
  }

  #end() {
    this.kind = null;
    this.edges = null;
    this.points = [];
    this.#show();
    this.where.stage.focus({ preventScroll: true });
  }

  /** @param {EdgePoints[] | null} [edges] that were accepted */
  async #send(edges) {
    const { kind, points } = this;
    if (!kind || points.length < fewestPoints(kind)) return;
    const name = this.#name(kind);
    const path = `/photos/${this.where.photo}/${kind.as}s/${encodeURIComponent(name)}`;
    const kept = await this.doing.put(`${name} set.`, 'PUT', path, this.#body(kind, edges));
    if (kept) this.#end();
    else this.#backOne();
  }

  /** @param {OutlineKind} kind @param {EdgePoints[] | null} [edges] */
  #body(kind, edges) {
    if (kind.as === 'line') return { points: this.points, sd_px: this.sd_px, direction: kind.direction };
    if (kind.key === 'card') return { corners: this.points, serial: Number(this.serial?.value) };
    const turned = kind.size_mm && this.lies?.value === 'up';
    const order = (/** @type {number[]} */ pair) => (turned ? [pair[1], pair[0]] : pair);
    return {
      corners: this.points,
      size_mm: order(this.size_mm ?? []),
      u_mm: order(kind.u_mm ?? [TAPED_U_MM, TAPED_U_MM]),
      known_by: kind.known_by ?? 'standard',
      edge_u_px: edges ? EDGE_U_PX : this.sd_px,
      ...(edges && {
        edges: edges.map(({ points }) => points),
        point_sd_px: Math.max(...edges.map(({ sd_px }) => sd_px)),
      }),
    };
  }

  /** The same name again moves what is there; a second line gets a number. @param {OutlineKind} kind */
  #name(kind) {
    if (kind.key === 'card') return `card ${this.serial?.value.trim()}`;
    const plain = kind.word.replace(/^an? /u, '').replace('something square that I taped', 'taped square');
    if (kind.as === 'rectangle') return plain;
    return this.#numbered(plain);
  }

  /** @param {string} plain */
  #numbered(plain) {
    const taken = new Set(this.#inPhoto().map(({ name }) => name));
    let number = 1;
    while (taken.has(`${plain} ${number}`)) number += 1;
    return `${plain} ${number}`;
  }

  /**
   * Keeps a line that was found in the photo and accepted, by its points.
   * @param {string} plain what it is
   * @param {import('../types.js').EdgePoints} found
   */
  takeLine(plain, { points, sd_px }) {
    const name = this.#numbered(plain);
    const path = `/photos/${this.where.photo}/lines/${encodeURIComponent(name)}`;
    return this.doing.put(`${name} kept as a straight line.`, 'PUT', path, { points, sd_px, direction: null });
  }

  /** @param {import('../types.js').WallFacts} facts */
  show(facts) {
    this.facts = facts;
    this.#show();
  }

  #show() {
    const { kind, points, where } = this;
    where.work.hidden = !kind;
    where.hand.hidden = Boolean(kind);
    if (kind && this.title && this.set && this.done) {
      const corner = CORNERS[points.length];
      const number = points.length + 1;
      const next = kind.as === 'rectangle' ? `corner ${number} of 4, ${corner}` : `point ${number}`;
      const whole = this.edges ? 'its edges were found' : 'looking for its edges…';
      this.title.textContent = `${kind.word}: ${this.#isWhole ? whole : next}`;
      this.set.hidden = this.#isWhole;
      if (this.found) this.found.hidden = !this.edges;
      this.set.textContent = kind.as === 'rectangle' ? `Set ${corner} corner` : 'Set point of the line';
      this.done.hidden = kind.as === 'rectangle';
      this.done.disabled = points.length < fewestPoints(kind);
    }
    const set = this.#inPhoto();
    const open = kind ? [points, ...(this.edges ?? []).map((edge) => edge.points)] : [];
    const drawn = open.map((at) => ({ name: '', at, closed: false, open: true }));
    where.overlay.show('outlines', outlineLayer([...set, ...drawn]));
    fill(/** @type {HTMLElement} */ (this.list), ...set.map((one) => this.#item(one)));
  }

  /** @returns {(import('../photo/outline_layer.js').Outline & {as: string})[]} */
  #inPhoto() {
    const { photo } = this.where;
    const rectangles = (this.facts?.rectangles ?? []).filter(({ corners }) => photo in corners);
    const lines = (this.facts?.lines ?? []).filter(({ points }) => photo in points);
    return [
      ...rectangles.map(({ name, corners }) => ({ name, at: corners[photo], closed: true, as: 'rectangle' })),
      ...lines.map(({ name, points }) => ({ name, at: points[photo], closed: false, as: 'line' })),
    ];
  }

  /** @param {{name: string, as: string}} one */
  #item({ name, as }) {
    const path = `/photos/${this.where.photo}/${as}s/${encodeURIComponent(name)}`;
    const remove = () => void this.doing.put(`${name} removed.`, 'DELETE', path);
    return el(
      'li',
      {},
      el('span', {}, name),
      el(
        'span',
        { class: 'suggestion-buttons' },
        button('Remove', remove, this.signal, { 'aria-label': `Remove ${name}` }),
      ),
    );
  }
}

/** A typed length in mm; the service reads it as it reads every other. @param {HTMLInputElement | undefined} input */
async function mm(input) {
  const answer = await write('POST', '/lengths/parse', { text: input?.value ?? '', bare_unit: 'in' });
  return Math.abs(answer.mm);
}
