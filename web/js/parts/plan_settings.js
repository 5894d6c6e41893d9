/**
 * The form of all that a plan is made from beside the measured walls. It works on a copy: what is typed is
 * kept in this browser until the service has it, so that no error, reload or other person loses it.
 */
import { Problem, write } from '../api.js';
import { clearFaults, field, showFault, textInput } from '../page/field.js';
import { button, el, fill, listen } from '../page/dom.js';
import { dropDraft, keepDraft, keptDraft } from '../state/drafts.js';
import { BESIDE, JOB, LOW_TOP, OUTER, PATTERN, STOCK, TOP, TUB_FRONT, WALL_ROWS } from './plan_fields.js';
import { practicePart } from './practice_part.js';
import { fieldGrid, rowList } from './settings_fields.js';

const NEW_PATTERN = { tile: ['12', '12'], joint: '1/8' };
const OTHERS =
  'Somebody else kept other settings meanwhile. What you typed is still here: keep it again to put it in ' +
  'their place, or undo it to see theirs.';
const WALLS = /** @type {const} */ (['plumbing', 'back', 'far-end']);

export class PlanSettingsForm {
  /**
   * @param {HTMLElement} place
   * @param {import('../state/plan_work.js').PlanWork} work
   * @param {import('../state/job_facts.js').JobFacts} facts
   * @param {() => Promise<void>} kept what follows once the service has them
   * @param {AbortSignal} signal
   */
  constructor(place, work, facts, kept, signal) {
    this.place = place;
    this.work = work;
    this.facts = facts;
    this.kept = kept;
    this.signal = signal;
    this.name = `plan ${work.job}`;
    this.base = '';
    /** @type {any} */
    this.draft = null;
    this.drawn = new AbortController();
  }

  /** Shows the settings, or what was typed here and not kept yet. */
  show() {
    const earlier = keptDraft(this.name);
    this.draft = earlier?.draft ?? this.#fresh();
    this.base = earlier?.base ?? this.#asKept();
    this.#draw(earlier !== null);
  }

  /** After the settings were changed beside the form: shows them, unless something typed here waits. */
  renew() {
    if (keptDraft(this.name) === null) this.#startAnew();
  }

  #fresh() {
    const { plan, practice, prices } = this.work.settings;
    return structuredClone({ plan, practice, prices, scope: this.facts.job.scope });
  }

  /** The settings as the service has them, to tell whether somebody else changed them. */
  #asKept() {
    const { plan, practice, prices } = this.work.settings;
    return JSON.stringify([plan, practice, prices]);
  }

  /** @param {boolean} unkept */
  #draw(unkept) {
    this.drawn.abort();
    this.drawn = new AbortController();
    const { signal } = this.drawn;
    this.signal.addEventListener('abort', () => this.drawn.abort(), { once: true, signal });
    const state = { changed: () => this.#changed(), signal };
    this.said = el('p', { class: 'unkept', role: 'status' });
    this.buttons = el(
      'div',
      { class: 'panel-actions sticky' },
      el('button', { type: 'submit', class: 'primary' }, 'Keep the settings'),
      button('Undo what is not kept', () => this.#undo(), signal),
      this.said,
    );
    this.form = el(
      'form',
      { 'aria-label': 'Settings of the plan', novalidate: true },
      this.work.settings.derived
        ? el('p', { class: 'quiet-text' }, 'Nobody has set these yet: they follow from the sizes by common practice.')
        : null,
      el(
        'p',
        { class: 'quiet-text' },
        'Lengths as the trade writes them: 59 7/8, 4\' 11 7/8", 1521 mm. A bare number is inches.',
      ),
      this.#job(state),
      this.#pattern(state),
      section('Top and level line', fieldGrid(TOP, this.#part('top'), 'plan.top', [], state)),
      rowList(STOCK, this.draft.plan, 'plan', [], state),
      ...this.#walls(state),
      this.#opening(state),
      ...BESIDE.map((rows) => rowList(rows, this.draft.plan, 'plan', [], state)),
      practicePart(this.work, this.draft, state),
      this.#prices(state),
      this.buttons,
    );
    listen(this.form, 'submit', (/** @type {Event} */ event) => {
      event.preventDefault();
      void this.#keep();
    }, signal);
    fill(this.place, this.form);
    this.#tell(unkept);
  }

  /** @param {any} state */
  #job(state) {
    const scope = textInput(this.draft.scope, { maxlength: 200, list: 'scopes' });
    listen(scope, 'input', () => {
      this.draft.scope = scope.value;
      this.#changed();
    }, state.signal);
    const scopes = ['over tile', 'tile stripped', 'down to studs'];
    return section(
      'The work',
      field('Scope', scope, { field: 'scope', hint: 'over tile, tile stripped or down to studs' }),
      el('datalist', { id: 'scopes' }, ...scopes.map((value) => el('option', { value }))),
      fieldGrid(JOB, this.#part('job'), 'plan.job', [], state),
    );
  }

  /** @param {any} state */
  #pattern(state) {
    const { plan } = this.draft;
    const select = el(
      'select',
      {},
      el('option', { value: 'plain', selected: !plan.pattern }, 'plain'),
      el('option', { value: 'tile', selected: Boolean(plan.pattern) }, 'simulated tile'),
    );
    listen(select, 'change', () => {
      if (select.value === 'tile') plan.pattern = structuredClone(NEW_PATTERN);
      else delete plan.pattern;
      this.#changed();
      this.#draw(true);
      /** @type {HTMLElement | null} */ (this.place.querySelector('[data-field="plan.pattern"]'))?.focus();
    }, state.signal);
    return section(
      'Sheets and pattern',
      field('Face of the sheets', select, { field: 'plan.pattern' }),
      plan.pattern ? fieldGrid(PATTERN, plan.pattern, 'plan.pattern', [], state) : null,
    );
  }

  /** @param {any} state */
  #walls(state) {
    const walls = this.draft.plan.walls ?? [];
    const order = (/** @type {any} */ wall) => WALLS.indexOf(/** @type {any} */ (wall.wall.replace(' ', '-')));
    return [...walls.keys()]
      .sort((a, b) => order(walls[a]) - order(walls[b]))
      .map((index) => this.#wall(walls[index], index, state));
  }

  /** @param {any} wall @param {number} index @param {any} state */
  #wall(wall, index, state) {
    const path = `plan.walls[${index}]`;
    const own = this.facts.inOrder().find(({ facts }) => facts.name === wall.wall.replace(' ', '-'));
    const sizes = own?.facts.dimensions.map((one) => one.name) ?? [];
    /** @param {string} key @param {string} title @param {any[]} fields @param {any} blank */
    const part = (key, title, fields, blank) => {
      const owner = wall[key] ?? blank;
      const adopted = { ...state, changed: () => this.#adopt(wall, key, owner) };
      return section(title, fieldGrid(fields, owner, `${path}.${key}`, sizes, adopted));
    };
    const end = wall.wall !== 'back';
    return section(
      `${wall.wall[0].toUpperCase()}${wall.wall.slice(1)} wall`,
      end ? part('outer', 'Outer edge', OUTER, { finish: 'return' }) : null,
      ...WALL_ROWS.map((rows) => rowList(rows, wall, path, sizes, state)),
      end ? part('tub_front', 'Leg beside the tub', TUB_FRONT, {}) : null,
      end ? part('low_top', 'A lower wall', LOW_TOP, {}) : null,
    );
  }

  /** A part of a wall is there once something is typed in it, and gone once all is empty. */
  #adopt(/** @type {any} */ wall, /** @type {string} */ key, /** @type {any} */ owner) {
    const empty = Object.keys(owner).every((name) => name === 'finish');
    if (empty) delete wall[key];
    else wall[key] = owner;
    this.#changed();
  }

  /** @param {any} state */
  #opening(state) {
    const opening = { key: 'opening', label: 'Between the end walls at the tub front', kind: 'length' };
    return section(
      'Front opening',
      fieldGrid([/** @type {any} */ (opening)], this.draft.plan, 'plan', [], state),
    );
  }

  /** @param {any} state */
  #prices(state) {
    const area = el('textarea', { rows: 8, spellcheck: false }, this.draft.prices ?? '');
    listen(area, 'input', () => {
      this.draft.prices = area.value.trim() ? area.value : null;
      this.#changed();
    }, state.signal);
    return section('Price book', field('As CSV', area, { field: 'prices', hint: 'empty: no prices' }));
  }

  /** @param {string} key */
  #part(key) {
    this.draft.plan[key] ??= {};
    return this.draft.plan[key];
  }

  #changed() {
    keepDraft(this.name, { draft: this.draft, base: this.base });
    this.#tell(true);
  }

  #undo() {
    this.#startAnew();
  }

  #startAnew() {
    dropDraft(this.name);
    this.draft = this.#fresh();
    this.base = this.#asKept();
    this.#draw(false);
  }

  /** @param {boolean} unkept */
  #tell(unkept) {
    if (this.said) this.said.textContent = unkept ? 'Not kept yet; typed here it is safe.' : '';
  }

  async #keep() {
    const form = /** @type {HTMLElement} */ (this.form);
    clearFaults(form);
    try {
      await this.work.loadSettings();
      if (this.#asKept() !== this.base) {
        this.base = this.#asKept();
        if (this.said) this.said.textContent = OTHERS;
        return;
      }
      const { plan, practice, prices, scope } = this.draft;
      if (scope !== this.facts.job.scope) await this.#keepScope(scope);
      await this.work.keepSettings({ plan: levelled(plan), practice, prices });
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      if (showFault(form, error.field, plain(error))) return;
      if (this.said) this.said.textContent = error.text;
      return;
    }
    this.#startAnew();
    await this.kept();
  }

  /** @param {string} scope */
  async #keepScope(scope) {
    const { revision } = this.work.settings;
    this.facts.job = await write('PATCH', `/jobs/${this.work.job}`, { scope }, { revision });
    this.work.settings = { ...this.work.settings, revision: this.facts.job.revision };
  }
}

/** The hold-down is one for all walls: each wall's own says the same as the top, so it need not say it. */
function levelled(/** @type {any} */ plan) {
  if (plan.top?.above_line === undefined) return plan;
  return { ...plan, walls: plan.walls.map((/** @type {any} */ wall) => ({ ...wall, hold_down: null })) };
}

/** The message without the path, which the place of the message says. */
const plain = (/** @type {Problem} */ error) =>
  error.message.replace(new RegExp(`^\\S*?${escaped(error.field.replace(/^plan\./, ''))}: `), '');

const escaped = (/** @type {string} */ text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** @param {string} title @param {...any} children */
function section(title, ...children) {
  return el('details', {}, el('summary', {}, title), ...children);
}
