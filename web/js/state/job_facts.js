/** One job as the service knows it: its walls, their reports, and word of every change. */
import { Problem, follow, read, write } from '../api.js';
import { asSeen } from './settings.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').Report} Report */
/** @typedef {import('../types.js').Refusal} Refusal */

/**
 * @typedef {object} WallState
 * @property {WallFacts} facts
 * @property {Report | null} report where the whole alcove is judged, its sizes as that judges them
 * @property {Refusal | null} refusal why there is no report
 * @property {import('../types.js').WallInAlcove | null} [alcove] how it stands among the others
 */

const OTHERS = {
  code: 'changed-meanwhile',
  detail: 'This wall was changed from somewhere else in the meantime; it is now shown as it stands.',
  do: 'Look at it, and do it again if you still want it.',
};

/**
 * Tells of `changed` with `{detail: wall id}`, and, where the alcove is judged as a whole, of
 * `judged` after every judgement of it.
 */
export class JobFacts extends EventTarget {
  /**
   * @param {string} id
   * @param {{whole?: boolean}} [how] whole: the walls are judged together
   */
  constructor(id, { whole = false } = {}) {
    super();
    this.id = id;
    this.whole = whole;
    /** @type {import('../types.js').Alcove | null} */
    this.alcove = null;
    this.asked = 0;
    /** @type {any} */
    this.job = null;
    /** @type {Map<string, WallState>} */
    this.walls = new Map();
    /** @type {Map<string, Promise<void>>} */
    this.queues = new Map();
  }

  /** Reads the job and its walls. */
  async load() {
    this.job = await read(`/jobs/${this.id}`);
    const ids = this.job.walls.map((/** @type {{id: string}} */ wall) => wall.id);
    await Promise.all(ids.map((/** @type {string} */ id) => this.#readWall(id)));
    await this.#judgeAlcove();
  }

  /**
   * Reads one wall alone.
   * @param {string} id
   */
  loadWall(id) {
    return this.refresh(id, false);
  }

  /** Walls from left to right as they are seen from the room. */
  inOrder() {
    const order = this.job.walls.map((/** @type {{id: string}} */ wall) => wall.id);
    const place = (/** @type {WallState} */ state) => order.indexOf(state.facts.id);
    return [...this.walls.values()].sort((a, b) => place(a) - place(b));
  }

  /**
   * Which side of a wall meets the back wall.
   * @param {WallFacts} wall
   * @returns {'none' | 'left' | 'right'}
   */
  cornerOf(wall) {
    if (wall.name === 'back') return 'none';
    return this.job.walls[0].id === wall.id ? 'right' : 'left';
  }

  /**
   * Reads one wall and its report again.
   * @param {string} id
   * @param {boolean} [tell]
   */
  async refresh(id, tell = true) {
    await this.#readWall(id);
    await this.#judgeAlcove();
    if (tell) this.#tell(id);
  }

  /**
   * Changes one wall, after whatever is still being changed on it, and judges it again.
   * @param {string} id of the wall
   * @param {'POST' | 'PUT' | 'PATCH' | 'DELETE'} method
   * @param {string} path
   * @param {unknown} [body]
   * @returns {Promise<void>}
   */
  change(id, method, path, body) {
    const turn = (this.queues.get(id) ?? Promise.resolve()).then(() =>
      this.#changeNow(id, method, path, body),
    );
    this.queues.set(
      id,
      turn.catch(() => undefined),
    );
    return turn;
  }

  /**
   * Keeps up with changes made elsewhere, until the signal.
   * @param {AbortSignal} signal
   */
  keepUp(signal) {
    const close = follow(`/jobs/${this.id}/stream`, (change) => void this.#heard(change));
    signal.addEventListener('abort', close, { once: true });
  }

  /** @param {string} id @param {any} method @param {string} path @param {unknown} body */
  async #changeNow(id, method, path, body) {
    const state = this.walls.get(id);
    try {
      const facts = await write(method, path, body, { revision: state?.facts.revision });
      const [judgement] = await Promise.all([judged(id), this.#askAlcove()]);
      this.walls.set(id, { facts, ...judgement });
      this.#spreadAlcove();
      this.#tell(id);
    } catch (error) {
      if (!(error instanceof Problem) || error.status !== 412) throw error;
      await this.refresh(id);
      throw new Problem(412, OTHERS);
    }
  }

  /** @param {{wall?: string, revision?: number}} change */
  async #heard(change) {
    const state = change.wall ? this.walls.get(change.wall) : undefined;
    if (!state || !change.wall) return;
    await (this.queues.get(change.wall) ?? Promise.resolve());
    const { facts } = this.walls.get(change.wall) ?? state;
    const looking = facts.photos.some((photo) => photo.state === 'looking');
    if (looking || facts.revision !== change.revision) await this.refresh(change.wall);
  }

  /** @param {string} id */
  async #readWall(id) {
    const [facts, judgement] = await Promise.all([read(`/walls/${id}`), judged(id)]);
    this.walls.set(id, { facts, ...judgement });
  }

  async #judgeAlcove() {
    await this.#askAlcove();
    this.#spreadAlcove();
  }

  /** Asks how the walls stand together; an answer that a later one has overtaken is left. */
  async #askAlcove() {
    if (!this.whole) return;
    this.asked += 1;
    const turn = this.asked;
    const found = await read(asSeen(`/jobs/${this.id}/check`));
    if (turn === this.asked) this.alcove = found;
  }

  /** What the walls say of one another counts for each: its sizes, its readings, its gate. */
  #spreadAlcove() {
    if (!this.alcove) return;
    for (const wall of this.alcove.walls) {
      const state = this.walls.get(wall.id);
      if (!state) continue;
      const { dimensions, readings, gate } = wall;
      const report = state.report && gate ? { ...state.report, dimensions, readings, gate } : state.report;
      this.walls.set(wall.id, { ...state, report, alcove: wall });
    }
    this.dispatchEvent(new CustomEvent('judged'));
  }

  /** @param {string} id */
  #tell(id) {
    this.dispatchEvent(new CustomEvent('changed', { detail: id }));
  }
}

/**
 * The report of a wall, or why there is none.
 * @param {string} id
 * @returns {Promise<{report: Report | null, refusal: Refusal | null}>}
 */
export async function judged(id) {
  try {
    return { report: await read(asSeen(`/walls/${id}/report`)), refusal: null };
  } catch (error) {
    if (!(error instanceof Problem) || error.status === 0 || error.status >= 500) throw error;
    return { report: null, refusal: { code: error.code, text: error.message, do: error.remedy } };
  }
}
