/** The plan: panels over the walls, what keeps each from the saw, release, papers. */
import { read, write } from '../api.js';
import { panelsDrawing } from '../drawing/panels_drawing.js';
import { button, byId, el, fill } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { panelCard } from '../parts/panel_card.js';
import { papers, prices, takeoff, warnings } from '../parts/plan_tables.js';
import { whoIsHere } from '../state/settings.js';
import { JobFacts } from '../state/job_facts.js';

/** @type {['front' | 'back', string][]} */
const FACES = [
  ['front', 'From the room'],
  ['back', 'From behind'],
];

/** Below this there is no room for three panels side by side. */
const NARROW_PX = 620;

const panelKey = (/** @type {{wall: string}} */ panel) => panel.wall.replace(' ', '-');

class PlanPage {
  /** @param {string} id @param {AbortSignal} signal */
  constructor(id, signal) {
    this.id = id;
    this.signal = signal;
    this.facts = new JobFacts(id);
    this.notice = new Notice(byId('notice'), signal);
    this.shown = new AbortController();
    /** @type {'front' | 'back'} */
    this.face = 'front';
    /** @type {any} */
    this.answer = null;
  }

  async open() {
    await this.facts.load();
    byId('job-name').textContent = `Plan of ${this.facts.job.name}`;
    await this.#load();
    const resized = new ResizeObserver(() => this.#resized());
    resized.observe(byId('sheet'));
    this.signal.addEventListener('abort', () => resized.disconnect(), { once: true });
  }

  async #load() {
    this.answer = await read(`/jobs/${this.id}/plan`);
    this.#show();
  }

  #show() {
    this.shown.abort();
    this.shown = new AbortController();
    const { signal } = this.shown;
    const { plan, releases } = this.answer;
    fill(byId('caution'), plan.released ? null : notForCutting());
    this.#draw();
    const doing = {
      release: (/** @type {string} */ panel) => void this.#release(panel, 'POST'),
      takeBack: (/** @type {string} */ panel) => void this.#release(panel, 'DELETE'),
    };
    const cards = this.#inOrder().map(({ panel }) =>
      panelCard(this.id, panel, panelKey(panel), releases[panelKey(panel)], doing, signal),
    );
    fill(byId('panels'), ...cards);
    fill(byId('papers'), papers(this.id));
    fill(byId('warnings'), warnings(plan));
    fill(byId('price'), prices(plan.price));
    fill(byId('takeoff'), takeoff(plan));
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

  /** Walls that have a panel, left to right. */
  #inOrder() {
    return this.facts.inOrder().flatMap((state) => {
      const panel = this.answer.plan.panels.find(
        (/** @type {any} */ one) => panelKey(one) === state.facts.name,
      );
      return panel ? [{ state, corner: this.facts.cornerOf(state.facts), panel }] : [];
    });
  }

  /** @param {'front' | 'back'} face */
  #turn(face) {
    this.face = face;
    this.#draw();
    /** @type {HTMLElement | null} */ (byId('faces').querySelector('[aria-pressed="true"]'))?.focus();
  }

  /** @param {string} panel @param {'POST' | 'DELETE'} method */
  async #release(panel, method) {
    await this.notice.guard(async () => {
      await write(
        method,
        `/jobs/${this.id}/panels/${panel}/release`,
        method === 'POST' ? { who: whoIsHere() } : undefined,
      );
      await this.#load();
      const { revision } = this.answer.releases[panel];
      this.notice.say(
        method === 'POST'
          ? `${panel.replace('-', ' ')}: released for cutting as revision ${revision}.`
          : `${panel.replace('-', ' ')}: release taken back.`,
      );
      byId(`panel-${panel}`).focus();
    });
  }

  #resized() {
    const width = Math.max(300, Math.floor(byId('sheet').clientWidth));
    if (this.width && Math.abs(width - this.width) > 1) this.#draw();
  }
}

function notForCutting() {
  return el(
    'div',
    { class: 'caution' },
    el('b', {}, 'Estimate, not for cutting.'),
    ' A sheet is released when every size it needs is taped and checked.',
    ' A photo estimate is never a cutting dimension.',
  );
}

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'plan' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) {
  const page = new PlanPage(id, life.signal);
  void page.notice.guard(() => page.open());
} else {
  location.replace('/');
}
