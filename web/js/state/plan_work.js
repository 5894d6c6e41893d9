/** The plan of one job as the service knows it, and what people do with its sheets. */
import { read, write } from '../api.js';
import { asSeen } from './settings.js';

const panelKey = (/** @type {{wall: string}} */ panel) => panel.wall.replace(' ', '-');

export class PlanWork {
  /** @param {string} job */
  constructor(job) {
    this.job = job;
    /** @type {any} the plan and how its sheets stand */
    this.answer = null;
    /** @type {any} what the plan is made from */
    this.settings = null;
  }

  async loadPlan() {
    this.answer = await read(asSeen(`/jobs/${this.job}/plan`));
  }

  async loadSettings() {
    this.settings = await read(asSeen(`/jobs/${this.job}/plan-settings`));
  }

  /** @param {string} wall as a wall's facts name it */
  panelOf(wall) {
    return this.answer.plan.panels.find((/** @type {any} */ one) => panelKey(one) === wall);
  }

  /** Where an end wall's corner is taped, below the level line, as the settings write it. @param {string} wall */
  cornerHeights(wall) {
    const walls = this.settings?.plan.walls ?? [];
    const own = walls.find((/** @type {any} */ one) => panelKey(one) === wall);
    const downs = (own?.[own.corner ?? ''] ?? []).map((/** @type {any} */ one) => one.down);
    return /** @type {string[]} */ ([...new Set(downs)]);
  }

  /**
   * Keeps the settings, on the version that was read.
   * @param {{plan: any, practice: string | null, prices: string | null}} body
   */
  async keepSettings(body) {
    const { revision } = this.settings;
    this.settings = await write('PUT', asSeen(`/jobs/${this.job}/plan-settings`), body, { revision });
  }

  /**
   * What a practice's text comes to, with one allowance changed; nothing is kept.
   * @param {string | null} practice
   * @param {{key: string, value: string | null, source: string} | null} change
   */
  practice(practice, change) {
    return write('POST', '/practice', { practice, change });
  }

  /**
   * Releases the sheet as it was shown: one that somebody has changed since is refused.
   * @param {string} panel
   * @param {any} body
   */
  release(panel, body) {
    const { shown } = this.answer.releases[panel];
    return this.#change('POST', `${panel}/release`, { ...body, shown });
  }

  /** @param {string} panel */
  takeBack(panel) {
    return this.#change('DELETE', `${panel}/release`);
  }

  /** @param {string} panel @param {string} size @param {any} body */
  override(panel, size, body) {
    return this.#change('PUT', `${panel}/overrides/${encodeURIComponent(size)}`, body);
  }

  /** @param {string} panel @param {string} size */
  undoOverride(panel, size) {
    return this.#change('DELETE', `${panel}/overrides/${encodeURIComponent(size)}`);
  }

  /** @param {string} panel @param {any} body */
  asHung(panel, body) {
    return this.#change('POST', `${panel}/as-hung`, body);
  }

  /** @param {string} panel */
  revisions(panel) {
    return read(`/jobs/${this.job}/panels/${panel}/revisions`);
  }

  /** @param {'POST' | 'PUT' | 'DELETE'} method @param {string} path @param {any} [body] */
  async #change(method, path, body) {
    this.answer = await write(method, asSeen(`/jobs/${this.job}/panels/${path}`), body);
  }
}
