/** The drawing of the walls with its choosers: which walls, which sizes; keys go from size to size. */
import { groupCounts, unfolded } from '../drawing/unfolded.js';
import { badgeShape } from '../drawing/status_shape.js';
import { button, el, fill, listen } from '../page/dom.js';
import { keepingFocus } from '../page/focus.js';
import { rove } from '../page/roving.js';
import { keepWallSeen, wallLastSeen } from '../state/settings.js';
import { needsLook, wallMap } from './wall_map.js';

/** @typedef {import('../state/job_facts.js').JobFacts} JobFacts */
/** @typedef {import('../geometry/sizes.js').Group} Group */

/** @type {[Group, string][]} */
const GROUPS = [
  ['across', 'Across'],
  ['up', 'Heights'],
  ['slant', 'Diagonals'],
  ['pipes', 'Pipes'],
];
const SWIPE_PX = 60;
const WIDE_PX = 900;

export class WallsBoard {
  /**
   * @param {HTMLElement} place
   * @param {JobFacts} facts
   * @param {{openSize: (wall: string, size: string) => void, photoOf: (wall: any, point: string) => string | null,
   *   chosen: (wall: string) => void, asked: string | null}} doing asked: the name of the wall to begin with
   * @param {AbortSignal} signal
   */
  constructor(place, facts, doing, signal) {
    this.facts = facts;
    this.doing = doing;
    this.signal = signal;
    /** @type {Group} */
    this.group = 'across';
    this.map = el('div', { class: 'board-map' });
    this.groups = el('div', {
      class: 'board-groups',
      role: 'group',
      'aria-label': 'Which sizes are written out',
    });
    this.sheet = el('div', { class: 'board-sheet' });
    fill(place, el('div', { class: 'board-tools' }, this.map, this.groups), this.sheet);
    this.wall = firstWall(facts, doing.asked, place.clientWidth >= WIDE_PX);
    /** @type {AbortController} */
    this.shown = new AbortController();
    const resized = new ResizeObserver(() => this.#resized());
    resized.observe(this.sheet);
    signal.addEventListener('abort', () => resized.disconnect(), { once: true });
    this.#swipes();
  }

  /** Draws everything anew. */
  show() {
    this.shown.abort();
    this.shown = new AbortController();
    const { signal } = this.shown;
    const order = this.facts.inOrder();
    keepingFocus(this.map, () =>
      fill(
        this.map,
        wallMap(order, this.wall, (id) => this.choose(id), signal),
      ),
    );
    const walls = this.wall === 'all' ? order : order.filter((state) => state.facts.id === this.wall);
    keepingFocus(this.groups, () => fill(this.groups, ...this.#groupButtons(walls, signal)));
    this.#draw(walls, signal);
  }

  /** @param {string} id of a wall, or `all` */
  choose(id) {
    const byKey = this.map.contains(document.activeElement);
    this.wall = id;
    keepWallSeen(this.facts.id, id);
    this.show();
    if (byKey) /** @type {HTMLElement | null} */ (this.map.querySelector('[aria-pressed="true"]'))?.focus();
    this.doing.chosen(id);
  }

  /** @param {import('../state/job_facts.js').WallState[]} walls @param {AbortSignal} signal */
  #draw(walls, signal) {
    this.width = Math.max(300, Math.floor(this.sheet.clientWidth));
    const asked = walls.map((state) => ({ state, corner: this.facts.cornerOf(state.facts) }));
    const { photoOf } = this.doing;
    const { picture } = unfolded(asked, this.width, this.group, photoOf, this.facts.alcove?.across);
    keepingFocus(this.sheet, () => fill(this.sheet, picture));
    for (const wall of picture.querySelectorAll('g.wall'))
      this.#rove(/** @type {SVGGElement} */ (wall), signal);
  }

  /**
   * One tab stop a wall; arrow keys go to the next size or point, Enter opens it.
   * @param {SVGGElement} wall
   * @param {AbortSignal} signal
   */
  #rove(wall, signal) {
    const stops = /** @type {SVGElement[]} */ ([...wall.querySelectorAll('.size, a.point')]);
    const sizes = stops.filter((stop) => stop.classList.contains('size'));
    const id = wall.getAttribute('data-wall') ?? '';
    rove(wall, stops, sizes, (size) => this.doing.openSize(id, size.getAttribute('data-size') ?? ''), signal);
  }

  /** @param {import('../state/job_facts.js').WallState[]} walls @param {AbortSignal} signal */
  #groupButtons(walls, signal) {
    const counts = groupCounts(walls);
    return GROUPS.filter(([group]) => counts[group].sizes > 0).map(([group, word]) => {
      const { looks, conflicts } = counts[group];
      const picture = badgeShape(conflicts ? 'conflicts' : 'unsure');
      const hint = el('span', { class: 'visually-hidden' }, ' to look at');
      const label = looks ? [word, ' ', picture, String(looks), hint] : [word];
      const choose = () => {
        this.group = group;
        this.show();
        /** @type {HTMLElement | null} */ (this.groups.querySelector('[aria-pressed="true"]'))?.focus();
      };
      return button(label, choose, signal, {
        'aria-pressed': String(group === this.group),
      });
    });
  }

  /** A swipe goes to the neighbouring wall when one wall is shown. */
  #swipes() {
    let from = { x: 0, y: 0 };
    listen(
      this.sheet,
      'pointerdown',
      (event) => (from = { x: event.clientX, y: event.clientY }),
      this.signal,
    );
    listen(
      this.sheet,
      'pointerup',
      (event) => {
        const [across, down] = [event.clientX - from.x, event.clientY - from.y];
        if (event.pointerType !== 'touch' || this.wall === 'all') return;
        if (Math.abs(across) > SWIPE_PX && Math.abs(across) > 2 * Math.abs(down))
          this.#next(across < 0 ? 1 : -1);
      },
      this.signal,
    );
  }

  /** @param {number} step */
  #next(step) {
    const ids = this.facts.inOrder().map((state) => state.facts.id);
    const next = ids[ids.indexOf(this.wall) + step];
    if (next) this.choose(next);
  }

  #resized() {
    const width = Math.max(300, Math.floor(this.sheet.clientWidth));
    if (this.width && Math.abs(width - this.width) > 1) this.show();
  }
}

/**
 * The wall to begin with: the one asked for, else the one looked at last. At the desk then all; on a phone
 * the first on which something does not fit.
 * @param {JobFacts} facts
 * @param {string | null} asked the name of a wall
 * @param {boolean} wide
 * @returns {string} its id, or `all`
 */
function firstWall(facts, asked, wide) {
  const walls = facts.inOrder();
  const named = walls.find((state) => state.facts.name === asked);
  if (named) return named.facts.id;
  const last = wallLastSeen(facts.id);
  if (last === 'all' || walls.some((state) => state.facts.id === last)) return last ?? 'all';
  if (wide) return 'all';
  return (walls.find(needsLook) ?? walls[0])?.facts.id ?? 'all';
}
