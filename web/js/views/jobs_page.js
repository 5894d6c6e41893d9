/** All jobs: open one, start one, load the example. */
import { read, write } from '../api.js';
import { statusBadge } from '../drawing/status_shape.js';
import { wallWords } from '../drawing/words.js';
import { button, byId, el, fill, listen } from '../page/dom.js';
import { fieldTable } from '../parts/field_table.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';

/**
 * @typedef {{id: string, name: string, scope: string, example: boolean,
 *   revision: number, updated_at: string, walls: any[], released: Record<string, string>}} Job
 */

const jobAddress = (/** @type {string} */ id) => `/job.html?job=${encodeURIComponent(id)}`;

class JobsPage {
  /** @param {AbortSignal} signal */
  constructor(signal) {
    this.signal = signal;
    this.notice = new Notice(byId('notice'), signal);
    this.shown = new AbortController();
    listen(byId('new-job'), 'submit', (event) => this.#submitted(event), signal);
    listen(byId('load-example'), 'click', () => void this.#example('/example'), signal);
    listen(byId('reset-example'), 'click', () => void this.#example('/example/reset'), signal);
  }

  async show() {
    const { jobs } = await read('/jobs');
    this.shown.abort();
    this.shown = new AbortController();
    const { signal } = this.shown;
    const none = el(
      'p',
      { class: 'quiet-text' },
      'No job yet. Start one below, or load the example to look round.',
    );
    fill(
      byId('jobs'),
      jobs.length
        ? el('ul', { class: 'job-list' }, ...jobs.map((/** @type {Job} */ job) => this.#item(job, signal)))
        : none,
    );
    byId('load-example').hidden = jobs.some((/** @type {Job} */ job) => job.example);
    byId('reset-example').hidden = !jobs.some((/** @type {Job} */ job) => job.example);
  }

  async showFieldTruth() {
    const { shop, sheets, phones } = await read('/field-truth');
    byId('field').hidden = phones.length === 0;
    fill(byId('field-truth'), fieldTable(shop, sheets, phones));
  }

  /** @param {Job} job @param {AbortSignal} signal */
  #item(job, signal) {
    const changed = new Date(job.updated_at).toLocaleString(undefined, { dateStyle: 'short', timeStyle: 'short' });
    return el(
      'li',
      {},
      el('h2', {}, el('a', { href: jobAddress(job.id) }, job.name)),
      el(
        'p',
        { class: 'quiet-text' },
        `${job.scope || 'no scope yet'} · changed ${changed}${job.example ? ' · example' : ''}`,
      ),
      el(
        'ul',
        { class: 'job-walls' },
        ...job.walls.map((wall) =>
          el('li', {}, el('b', {}, wallWords(wall)), ' ', standing(wall, job.released[wall.name])),
        ),
      ),
      button('Take off the list', () => void this.#hide(job), signal, {
        class: 'quiet',
        'aria-label': `Take off the list: ${job.name}`,
      }),
    );
  }

  /** @param {Job} job */
  async #hide(job) {
    await this.notice.guard(async () => {
      await write('DELETE', `/jobs/${job.id}`, undefined, { revision: job.revision });
      await this.show();
      const back = button('Put it back', () => void this.#restore(job), this.signal);
      this.notice.say(`${job.name} is off the list.`);
      byId('notice').firstElementChild?.prepend(back);
    });
  }

  /** @param {Job} job */
  async #restore(job) {
    await this.notice.guard(async () => {
      const now = await read(`/jobs/${job.id}`);
      await write('PATCH', `/jobs/${job.id}`, { hidden: false }, { revision: now.revision });
      this.notice.clear();
      await this.show();
    });
  }

  /** @param {SubmitEvent} event */
  #submitted(event) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const asked = Object.fromEntries(new FormData(form));
    void this.notice.guard(async () => {
      const job = await write('POST', '/jobs', asked);
      location.assign(jobAddress(job.id));
    });
  }

  /** @param {string} path */
  async #example(path) {
    const filled = /** @type {HTMLSelectElement} */ (byId('example-with')).value;
    this.notice.say('The example is being set up…');
    await this.notice.guard(async () => {
      const job = await write('POST', `${path}?with=${filled}`);
      location.assign(jobAddress(job.id));
    });
  }
}

/**
 * @param {{gate: any, refused: any, photos: number, readings: number, dimensions: number}} wall
 * @param {string | undefined} locked the letter that its sheet was locked under last
 */
function standing(wall, locked) {
  const sheet = locked ? `; sheet locked as revision ${locked}` : '';
  if (wall.gate?.open) return statusBadge('open', `every size proved${sheet}`);
  const photos = `${wall.photos} photo${wall.photos === 1 ? '' : 's'}`;
  if (!wall.gate) return el('span', { class: 'quiet-text' }, `${photos}, nothing measured yet`);
  const open = wall.gate.blocking.length;
  return statusBadge('shut', `${photos}, ${open} size${open === 1 ? '' : 's'} not proved${sheet}`);
}

const life = new AbortController();
showHeader(byId('header'), { here: 'jobs' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
const page = new JobsPage(life.signal);
void page.notice.guard(() => page.show());
void page.notice.guard(() => page.showFieldTruth());
