/** The plan: panels over the walls, how each sheet stands, release, papers, and what it is made from. */
import { Problem } from '../api.js';
import { panelsDrawing } from '../drawing/panels_drawing.js';
import { button, byId, el, fill } from '../page/dom.js';
import { showFault } from '../page/field.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { asHungForm } from '../parts/as_hung.js';
import { keptBack, keptBackCard, keptBackWords, whyKeptBack } from '../parts/kept_back.js';
import { panelCard } from '../parts/panel_card.js';
import { papers } from '../parts/papers.js';
import { PlanSettingsForm } from '../parts/plan_settings.js';
import { stillReleased } from '../parts/release_form.js';
import { stillToMeasure } from '../parts/still_to_measure.js';
import { prices, takeoff, warnings } from '../parts/plan_tables.js';
import { JobFacts } from '../state/job_facts.js';
import { PlanWork } from '../state/plan_work.js';
import { setting } from '../state/settings.js';

/** @type {['front' | 'back', string][]} */
const FACES = [
  ['front', 'From the room'],
  ['back', 'From behind'],
];

/** Below this there is no room for three panels side by side. */
const NARROW_PX = 620;

class PlanPage {
  /** @param {string} id @param {AbortSignal} signal */
  constructor(id, signal) {
    this.id = id;
    this.signal = signal;
    this.facts = new JobFacts(id, { whole: true });
    this.work = new PlanWork(id);
    this.notice = new Notice(byId('notice'), signal);
    this.shown = new AbortController();
    /** @type {'front' | 'back'} */
    this.face = 'front';
    this.people = { first: '', second: '', who: setting('who') };
    /** The last reading from the hung back panel, with the end sheet it is of.
     * @type {(import('../parts/as_hung.js').Hung & {panel: string}) | null} */
    this.hung = null;
  }

  async open() {
    await this.facts.load();
    byId('job-name').textContent = `Plan of ${this.facts.job.name}`;
    globalThis.addEventListener('expectation', () => location.reload(), { signal: this.signal });
    await this.#showSettings();
    await this.notice.guard(() => this.#load());
    const resized = new ResizeObserver(() => this.#resized());
    resized.observe(byId('sheet'));
    this.signal.addEventListener('abort', () => resized.disconnect(), { once: true });
  }

  async #showSettings() {
    await this.work.loadSettings();
    const anew = () => this.#planAnew();
    this.form = new PlanSettingsForm(byId('settings'), this.work, this.facts, anew, this.signal);
    this.form.show();
  }

  /** Whether there is a plan; what keeps one from being made is shown in its place, or thrown. */
  async #load() {
    try {
      await this.work.loadPlan();
    } catch (error) {
      byId('planned').hidden = true;
      await this.#showUnplanned();
      const missing = error instanceof Problem ? stillToMeasure(error, this.facts) : null;
      if (!missing) throw error;
      byId('unplanned').prepend(missing);
      return false;
    }
    byId('planned').hidden = false;
    fill(byId('unplanned'));
    this.#show();
    return true;
  }

  /** After other settings were kept: why there is no plan stands beside what would mend it. */
  async #planAnew() {
    this.notice.clear();
    await this.notice.guard(async () => {
      const made = await this.#load();
      this.notice.say(made ? 'The settings are kept, and the plan is made from them.' : 'The settings are kept.');
    });
  }

  /** Sheets that are still released though there is no plan: they can be taken back here. */
  async #showUnplanned() {
    await this.facts.load();
    this.shown.abort();
    this.shown = new AbortController();
    fill(byId('caution'));
    const takeBack = (/** @type {string} */ panel) =>
      this.notice.guard(async () => {
        await this.work.takeBack(panel);
        if (this.work.answer.plan) await this.#load();
        else await this.#showUnplanned();
        this.notice.say(`${words(panel)}: release taken back.`);
      });
    fill(byId('unplanned'), stillReleased(this.facts.job.released, takeBack, this.shown.signal));
  }

  #show() {
    this.shown.abort();
    this.shown = new AbortController();
    const { signal } = this.shown;
    const { plan, releases, kept_back: waiting } = this.work.answer;
    const open = Object.keys(releases).filter((key) => releases[key].state !== 'released');
    const some = open.length < Object.keys(releases).length ? open.map(words) : [];
    const all = !keptBack(this.facts);
    fill(byId('caution'), open.length ? notForCutting(some) : null, all ? null : whyKeptBack());
    byId('board').hidden = plan.panels.length === 0;
    this.#draw();
    const cards = new Map(this.#inOrder().map((one) => [one.state.facts.name, this.#card(one, signal)]));
    for (const state of this.facts.inOrder()) {
      const key = state.facts.name;
      if (key in waiting) cards.set(key, keptBackCard(this.id, state, waiting[key], this.#asHung(state, signal)));
    }
    fill(byId('panels'), ...this.facts.inOrder().map(({ facts }) => cards.get(facts.name) ?? null));
    this.#showPapers(signal);
    fill(byId('warnings'), all ? warnings(plan) : keptBackWords());
    fill(byId('price'), all ? prices(plan.price) : keptBackWords());
    fill(byId('takeoff'), all ? takeoff(plan) : keptBackWords());
  }

  /** @param {AbortSignal} signal */
  #showPapers(signal) {
    const anew = () => {
      this.#showPapers(signal);
      byId('papers').querySelector('select')?.focus();
    };
    const all = !keptBack(this.facts);
    const shown = papers(this.id, this.work.answer.plan, all, anew, signal);
    fill(byId('papers'), all ? null : keptBackWords(), shown);
  }

  /** @param {any} one @param {AbortSignal} signal */
  #card({ state, panel }, signal) {
    const key = state.facts.name;
    const parts = {
      job: this.id,
      panel,
      key,
      release: this.work.answer.releases[key],
      wall: state,
      photos: this.#photos(),
      people: this.people,
      heights: this.work.cornerHeights(key),
      hung: this.#hungOn(key),
    };
    return panelCard(parts, this.#doing(), signal);
  }

  /** Of an end wall's panel that is kept back: its widths from the hung back panel. */
  #asHung(/** @type {import('../state/job_facts.js').WallState} */ wall, /** @type {AbortSignal} */ signal) {
    const key = wall.facts.name;
    if (key === 'back') return null;
    return asHungForm(wall, this.work.cornerHeights(key), this.#hungOn(key), this.#doing(), signal);
  }

  /** @param {string} key */
  #hungOn(key) {
    return this.hung?.panel === key ? this.hung : null;
  }

  #doing() {
    const { work } = this;
    return {
      /** @param {string} panel @param {any} body */
      release: async (panel, body) => {
        const form = formOf(panel, 'release');
        if (await this.#did(() => work.release(panel, body), panel, form)) {
          this.notice.say(`${words(panel)}: released for cutting as revision ${this.#letter(panel)}.`);
        }
      },
      /** @param {string} panel */
      takeBack: async (panel) => {
        if (await this.#did(() => work.takeBack(panel), panel)) {
          this.notice.say(`${words(panel)}: release taken back.`);
        }
      },
      /** @param {string} panel @param {string} size @param {any} body @param {HTMLElement} form */
      override: async (panel, size, body, form) => {
        if (await this.#did(() => work.override(panel, size, body), panel, form)) {
          this.notice.say(`${size}: let stand by ${body.who}.`);
        }
      },
      /** @param {string} panel @param {string} size */
      undoOverride: async (panel, size) => {
        if (await this.#did(() => work.undoOverride(panel, size), panel)) {
          this.notice.say(`${size}: override taken back.`);
        }
      },
      /** @param {string} panel @param {any} body @param {HTMLElement} form */
      asHung: async (panel, body, form) => {
        const done = await this.#did(
          async () => {
            await work.asHung(panel, body);
            await Promise.all([this.facts.load(), work.loadSettings()]);
            this.form?.renew();
            this.hung = { panel, down: body.down, who: body.who, method: body.instrument.method };
          },
          panel,
          form,
        );
        if (!done) return;
        this.notice.say(`${words(panel)}: ${body.value} at ${body.down} from the hung back panel is kept.`);
        const next = byId(`panel-${panel}`).querySelector('[name="hung-value"]');
        if (next instanceof HTMLElement) next.focus();
      },
      /** @param {string} panel */
      revisions: (panel) => work.revisions(panel),
    };
  }

  /**
   * Does something with a sheet and shows it; what the service refuses is said where it was typed.
   * @param {() => Promise<void>} work
   * @param {string} panel
   * @param {HTMLElement | null} [form]
   */
  async #did(work, panel, form = null) {
    return this.notice.guard(async () => {
      try {
        await work();
      } catch (error) {
        if (error instanceof Problem && form && showFault(form, error.field, error.inField)) return false;
        if (error instanceof Problem && error.code === 'stale') await this.#load();
        throw error;
      }
      this.notice.clear();
      this.#show();
      byId(`panel-${panel}`).focus();
      return true;
    });
  }

  /** @param {string} panel */
  #letter(panel) {
    return this.work.answer.releases[panel].revision;
  }

  /** @returns {[string, string][]} */
  #photos() {
    return this.facts
      .inOrder()
      .flatMap(({ facts }) => facts.photos.map((photo) => [photo.id, photo.filename]));
  }

  #draw() {
    const { signal } = this.shown;
    fill(
      byId('faces'),
      ...FACES.map(([face, word]) =>
        button(word, () => this.#turn(face), signal, { 'aria-pressed': String(face === this.face) }),
      ),
    );
    this.width = Math.max(300, Math.floor(byId('sheet').clientWidth));
    const walls = this.#inOrder();
    const apart = this.width < NARROW_PX ? walls.map((one) => [one]) : [walls];
    const pictures = apart.filter((some) => some.length > 0);
    fill(byId('sheet'), ...pictures.map((some) => panelsDrawing(some, Number(this.width), this.face)));
  }

  /** Walls that have a panel, left to right; drawn as cut only where the sheet is locked. */
  #inOrder() {
    return this.facts.inOrder().flatMap((state) => {
      const found = this.work.panelOf(state.facts.name);
      if (!found) return [];
      const released = this.work.answer.releases[state.facts.name]?.state === 'released';
      return [{ state, corner: this.facts.cornerOf(state.facts), panel: { ...found, released } }];
    });
  }

  /** @param {'front' | 'back'} face */
  #turn(face) {
    this.face = face;
    this.#draw();
    /** @type {HTMLElement | null} */ (byId('faces').querySelector('[aria-pressed="true"]'))?.focus();
  }

  #resized() {
    const width = Math.max(300, Math.floor(byId('sheet').clientWidth));
    if (this.width && Math.abs(width - this.width) > 1) this.#draw();
  }
}

const words = (/** @type {string} */ panel) => panel.replace('-', ' ');

/** @param {string} panel @param {string} kind @returns {HTMLElement | null} */
const formOf = (panel, kind) => byId(`panel-${panel}`).querySelector(`form.${kind}`);

/** @param {string[]} open the panels that are not, where others are released */
function notForCutting(open) {
  const panels = `the ${open.join(' and ')} ${open.length === 1 ? 'panel' : 'panels'}`;
  const which = open.length ? `Not for cutting: ${panels}.` : 'Estimate, not for cutting.';
  return el(
    'div',
    { class: 'caution' },
    el('b', {}, which),
    ' A sheet is released when every size it needs is taped and checked, a second person has looked at',
    ' what nothing checks, and somebody locks it. A photo estimate is never a cutting dimension.',
  );
}

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'plan' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) {
  const page = new PlanPage(id, life.signal);
  void page.notice.opening(() => page.open());
} else {
  location.replace('/');
}
