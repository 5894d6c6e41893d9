/** What a wall is measured by, changed in a dialog: its lines, its sizes, the card that it starts from. */
import { Problem } from '../api.js';
import { standingReadings, wallWords } from '../drawing/words.js';
import { namedPoints } from '../geometry/wall_points.js';
import { button, el, fill, listen } from '../page/dom.js';
import { namedChoice, namedInput, submits } from '../page/field.js';
import { fromWhere } from '../readings/pad_form.js';
import { checkingSizes } from './checking_sizes.js';
import { roleText } from '../readings/role_words.js';
import { SizeForm } from './size_form.js';

/** @typedef {import('../state/job_facts.js').JobFacts} JobFacts */

export class WallEditor {
  /** @param {JobFacts} facts @param {AbortSignal} signal */
  constructor(facts, signal) {
    this.facts = facts;
    this.dialog = el('dialog', { class: 'pad editor', 'aria-labelledby': 'editor-title' });
    document.body.append(this.dialog);
    this.life = new AbortController();
    this.wallId = '';
    listen(this.dialog, 'close', () => this.#closed(), signal);
    signal.addEventListener('abort', () => this.dialog.remove(), { once: true });
  }

  /** @param {string} wallId */
  show(wallId) {
    if (!this.dialog.open) this.opener = document.activeElement;
    this.wallId = wallId;
    this.#list('');
    if (!this.dialog.open) this.dialog.showModal();
  }

  get #wall() {
    const state = this.facts.walls.get(this.wallId);
    if (!state) throw new Error(`No wall ${this.wallId} is loaded.`);
    return state.facts;
  }

  /** A view of its own listeners. @param {...(Node | null)} children */
  #view(...children) {
    const wall = this.#wall;
    const head = el(
      'header',
      { class: 'pad-head' },
      el('h2', { id: 'editor-title' }, `Lines and sizes, ${wallWords(wall)} wall`),
      button('Close', () => this.dialog.close(), this.life.signal, { class: 'quiet close' }),
    );
    fill(this.dialog, el('div', { class: 'pad-form' }, head, ...children));
  }

  #newLife() {
    this.life.abort();
    this.life = new AbortController();
    return this.life.signal;
  }

  /** @param {string} said what came of the last change */
  #list(said, focus = '') {
    const signal = this.#newLife();
    const wall = this.#wall;
    this.failed = el('div', { role: 'status' }, said ? el('p', { class: 'notice said' }, said) : null);
    const add = button('Add a size', () => this.#edit(null), signal, { id: 'add-size' });
    this.#view(
      this.failed,
      this.#lines(signal),
      el('h3', {}, 'Sizes'),
      add,
      checkingSizes(wall, (name, body) => void this.#add(name, body), signal),
      el('ul', { class: 'size-list' }, ...wall.dimensions.map((size) => this.#item(size, signal))),
      this.#rectangles(signal),
      el(
        'p',
        { class: 'quiet-text' },
        'Which print a card came from, and how far it stands off the wall: ',
        el('a', { href: `/cards.html?job=${encodeURIComponent(wall.job)}` }, 'cards'),
        '. The top line, and which parts of the wall are tile or bare, kept or packed out: ',
        el('a', { href: `/plan.html?job=${encodeURIComponent(wall.job)}` }, 'plan'),
        '.',
      ),
    );
    if (focus) document.getElementById(focus)?.focus();
  }

  /** @param {AbortSignal} signal */
  #lines(signal) {
    const wall = this.#wall;
    /** @param {string} id @param {string} words @param {string} [now] */
    const mark = (id, words, now = '') =>
      namedInput(id, words, now, id, { list: 'line-points', maxlength: 80 });
    const fields = {
      level: [
        mark('level-a', 'Level line: left mark', wall.level?.[0]),
        mark('level-b', 'right mark', wall.level?.[1]),
      ],
      plumb: [
        mark('plumb-a', 'Plumb line: upper mark', wall.plumb?.[0]),
        mark('plumb-b', 'lower mark', wall.plumb?.[1]),
      ],
    };
    const serials = [...new Set([...(wall.found_cards ?? []), ...wall.cards.map((card) => card.serial)])];
    /** @type {[string, string][]} */
    const options = [['', 'the lowest that is found']];
    for (const serial of serials) options.push([String(serial), `card ${serial}`]);
    const known = String(wall.datum_card ?? '');
    const datum = namedChoice('datum', 'Without a level line, sizes start from', options, known, 'datum');
    const form = el(
      'form',
      { class: 'lines-form', 'aria-label': 'Lines' },
      el('h3', {}, 'Lines'),
      el('div', { class: 'pair' }, ...fields.level.map(({ wrap }) => wrap)),
      el('div', { class: 'pair' }, ...fields.plumb.map(({ wrap }) => wrap)),
      datum.wrap,
      el('datalist', { id: 'line-points' }, ...namedPoints(wall).map((name) => el('option', { value: name }))),
      el('button', { type: 'submit' }, 'Keep the lines'),
    );
    const keep = () => {
      const pair = (/** @type {'level' | 'plumb'} */ key) => {
        const names = fields[key].map(({ input }) => input.value.trim());
        return names.some(Boolean) ? names : null;
      };
      const body = {
        level: pair('level'),
        plumb: pair('plumb'),
        datum_card: datum.input.value ? Number(datum.input.value) : null,
      };
      void this.#change('PATCH', '', body, 'The lines are kept.');
    };
    submits(form, () => null, keep, signal);
    return form;
  }

  /** @param {import('../types.js').DimensionFacts} size @param {AbortSignal} signal */
  #item(size, signal) {
    const wall = this.#wall;
    const taken = standingReadings(wall, size.name).length;
    const gone = `${size.name} is taken away; “Undo” on the page brings it back.`;
    const path = `/dimensions/${encodeURIComponent(size.name)}`;
    const away = () => void this.#change('DELETE', path, undefined, gone);
    return el(
      'li',
      {},
      el(
        'div',
        {},
        el('b', {}, size.name),
        el('div', { class: 'quiet-text' }, fromWhere(size, wall)),
        el('div', { class: 'quiet-text' }, `Of the alcove: ${roleText(wall, size)}.`),
      ),
      el(
        'div',
        { class: 'item-actions' },
        button('Change', () => this.#edit(size), signal, { 'aria-label': `Change ${size.name}` }),
        taken
          ? el('span', { class: 'quiet-text' }, 'taped: stays')
          : button('Take away', away, signal, { 'aria-label': `Take away ${size.name}` }),
      ),
    );
  }

  /** @param {AbortSignal} signal */
  #rectangles(signal) {
    const found = this.#wall.rectangles ?? [];
    if (found.length === 0) return null;
    const items = found.map(({ name, size_mm, standoff_mm }) => {
      const path = `/rectangles/${encodeURIComponent(name)}`;
      const away = () => void this.#change('DELETE', path, undefined, `${name} is taken away.`);
      const said = ` ${size_mm[0]} × ${size_mm[1]} mm, ${standoff_mm} mm off the wall`;
      const label = { 'aria-label': `Take away ${name}` };
      return el(
        'li',
        {},
        el('span', {}, el('b', {}, name), said),
        button('Take away', away, signal, label),
      );
    });
    return el('section', {}, el('h3', {}, 'Things of known size'), el('ul', { class: 'size-list' }, ...items));
  }

  /** Adds a size, and leaves open the list that it was taken from. @param {string} name @param {unknown} body */
  async #add(name, body) {
    const path = `/dimensions/${encodeURIComponent(name)}`;
    await this.#change('PUT', path, body, `${name} is added: tape it on the wall's page.`);
    const fold = /** @type {HTMLDetailsElement | null} */ (this.dialog.querySelector('.checking'));
    if (!fold) return;
    fold.open = true;
    /** @type {HTMLElement | null} */ (fold.querySelector('button'))?.focus();
  }

  /** @param {import('../types.js').DimensionFacts | null} size */
  #edit(size) {
    const signal = this.#newLife();
    const doing = {
      back: () => this.#list('', 'add-size'),
      keep: (/** @type {string} */ name, /** @type {Record<string, unknown>} */ body) =>
        void this.#change('PUT', `/dimensions/${encodeURIComponent(name)}`, body, `${body.name} is kept.`, form),
    };
    const form = new SizeForm(this.#wall, size, doing, signal);
    this.#view(form.form);
    form.name.input.focus();
  }

  /**
   * @param {'PUT' | 'PATCH' | 'DELETE'} method
   * @param {string} path
   * @param {unknown} body
   * @param {string} said
   * @param {SizeForm | null} form the one that stays open where the service says no
   */
  async #change(method, path, body, said, form = null) {
    try {
      await this.facts.change(this.wallId, method, `/walls/${this.wallId}${path}`, body);
      this.#list(said, 'add-size');
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      if (form) form.fail(error.inField, error.field);
      else fill(/** @type {HTMLElement} */ (this.failed), el('p', { class: 'notice failed' }, error.text));
    }
  }

  #closed() {
    this.life.abort();
    if (this.opener instanceof HTMLElement && this.opener.isConnected) this.opener.focus();
  }
}
