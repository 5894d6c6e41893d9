/** One size: what it is called, between what it is taken, what it is of the alcove. */
import { button, el, fill, listen } from '../page/dom.js';
import { namedChoice, namedInput, showFault, submits } from '../page/field.js';
import { namedPoints } from '../geometry/wall_points.js';
import { SURFACES } from '../readings/choices.js';
import { ROLES, nameOf, sidesOf } from '../readings/role_words.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */
/** @typedef {import('../types.js').DimensionFacts} DimensionFacts */

/**
 * Between which points of the photos; the first is between none, and its role says what it is.
 * @type {[string, string][]}
 */
const KINDS = [
  ['', 'by tape alone: it is in no photo'],
  ['distance', 'straight from point to point'],
  ['dx', 'level, from point to point'],
  ['dy', 'upright, from point to point'],
  ['to_line', 'square from a line to a point'],
];
const LABELS = Object.freeze({
  side: 'Side',
  down: 'How far below the level line',
  to_down: 'Where it ends below the line (empty: at the deck)',
  at: 'Where, from the plumb line (left is minus); empty: in the corner of the side',
  fixture: 'Which pipe or valve',
  count: 'How many whole courses',
});

export class SizeForm {
  /**
   * @param {WallFacts} wall
   * @param {DimensionFacts | null} size the one to change; null for a new one
   * @param {{keep: (name: string, body: Record<string, unknown>) => void, back: () => void}} doing
   * @param {AbortSignal} signal
   */
  constructor(wall, size, doing, signal) {
    this.wall = wall;
    this.size = size;
    const called = size?.name ?? '';
    this.name = namedInput('size-name', 'What it is called', called, 'name', { maxlength: 80, required: true });
    const kind = size && !size.from ? '' : (size?.kind ?? 'distance');
    this.kind = namedChoice('size-kind', 'It is taken', KINDS, kind, 'kind');
    const listed = { list: 'points', maxlength: 80 };
    this.from = namedInput('size-from', '', size?.from ?? '', 'from', listed);
    this.to = namedInput('size-to', 'To the point', size?.to ?? '', 'to', listed);
    const [lineA, lineB] = [0, 1].map((end) => String(size?.line?.[end] ?? ''));
    this.lineA = namedInput('size-line-a', 'The line goes from', lineA, 'line-a', listed);
    this.lineB = namedInput('size-line-b', 'to (its left hand counts as plus)', lineB, 'line-b', listed);
    /** @type {[string, string][]} */
    const roles = [
      ['', this.#noRole()],
      ...Object.entries(ROLES).map(([role, { word }]) => /** @type {[string, string]} */ ([role, word])),
    ];
    this.role = namedChoice('size-role', 'What it is of the alcove', roles, size?.role ?? '', 'role');
    this.surface = namedChoice('size-surface', 'The tape touches', SURFACES, size?.surface ?? '', 'surface');
    this.told = el('div', { class: 'told' });
    this.failed = el('div', { role: 'alert' });
    this.form = this.#build(doing, signal);
    listen(this.kind.input, 'change', () => this.#kindChosen(), signal);
    listen(this.role.input, 'change', () => this.#roleChosen(), signal);
    listen(this.told, 'input', () => this.#suggestName(), signal);
    this.#kindChosen();
    this.#roleChosen();
  }

  /**
   * What is wrong, at the field that it is about.
   * @param {string} text
   * @param {string} [path] of the field
   */
  fail(text, path = '') {
    fill(this.failed);
    // Without marks it is the role that tells what a size is.
    const at = path === 'from' && !this.kind.input.value ? 'role' : path;
    if (at && showFault(this.form, at, text)) return;
    fill(this.failed, el('p', { class: 'notice failed' }, text));
  }

  #noRole() {
    const known = this.size ? this.wall.known_by_name?.[this.size.name] : null;
    return known ? `by its name: ${[known.role, known.side].filter(Boolean).join(', ')}` : 'only for itself';
  }

  /**
   * @param {{keep: (name: string, body: Record<string, unknown>) => void, back: () => void}} doing
   * @param {AbortSignal} signal
   */
  #build(doing, signal) {
    const names = namedPoints(this.wall).map((name) => el('option', { value: name }));
    const points = el('datalist', { id: 'points' }, ...names);
    const form = el(
      'form',
      { class: 'size-form' },
      el('h3', {}, this.size ? `Change ${this.size.name}` : 'A new size'),
      this.failed,
      this.role.wrap,
      this.told,
      this.name.wrap,
      this.kind.wrap,
      this.lineA.wrap,
      this.lineB.wrap,
      this.from.wrap,
      this.to.wrap,
      this.surface.wrap,
      points,
      el(
        'div',
        { class: 'pad-actions' },
        button('Back', doing.back, signal),
        el('button', { type: 'submit', class: 'primary' }, 'Keep'),
      ),
    );
    const keep = () => doing.keep(this.size?.name ?? this.name.input.value.trim(), this.#body());
    submits(form, () => null, keep, signal);
    return form;
  }

  #kindChosen() {
    const kind = this.kind.input.value;
    const toLine = kind === 'to_line';
    for (const one of [this.lineA, this.lineB]) one.wrap.hidden = !toLine;
    this.from.wrap.hidden = !kind;
    this.to.wrap.hidden = toLine || !kind;
    this.from.wrap.children[0].textContent = toLine ? 'To the point' : 'From the point';
  }

  /** Asks for what goes with a role, and nothing else. */
  #roleChosen() {
    const role = this.role.input.value;
    const asked = ROLES[role]?.told ?? [];
    /** @type {Map<string, {input: HTMLInputElement | HTMLSelectElement, wrap: HTMLElement}>} */
    this.fields = new Map(asked.map((key) => [key, this.#toldField(role, key)]));
    fill(this.told, ...[...this.fields.values()].map(({ wrap }) => wrap));
    if (!this.size && !this.from.input.value) {
      this.kind.input.value = role ? '' : 'distance';
      this.#kindChosen();
    }
    this.#suggestName();
  }

  /** A new size has a name to begin with, until somebody gives it another. */
  #suggestName() {
    const { input } = this.name;
    if (this.size || input.value !== (this.suggested ?? '')) return;
    const told = Object.fromEntries([...(this.fields ?? [])].map(([key, one]) => [key, one.input.value.trim()]));
    this.suggested = nameOf(this.role.input.value, told);
    input.value = this.suggested;
  }

  /** @param {string} role @param {import('../readings/role_words.js').Told} key */
  #toldField(role, key) {
    const now = this.size?.[key] ?? this.#byName(role, key);
    if (key === 'side') {
      const sides = sidesOf(role, Boolean(this.wall.corner));
      const free = role === 'height' || role === 'fixture from corner';
      /** @type {[string, string][]} */
      const options = free ? [['', 'none'], ...sides] : sides;
      return namedChoice('size-side', LABELS.side, options, String(now), key);
    }
    const attributes = key === 'count' ? { inputmode: 'numeric' } : {};
    return namedInput(`size-${key}`, LABELS[key], String(now), key, attributes);
  }

  /** What the size's name says already. @param {string} role @param {string} key */
  #byName(role, key) {
    const known = this.size ? this.wall.known_by_name?.[this.size.name] : null;
    return known?.role === role ? (known[key] ?? '') : '';
  }

  #body() {
    const kind = this.kind.input.value;
    const toLine = kind === 'to_line';
    const text = (/** @type {string} */ value) => value.trim() || null;
    const told = [...(this.fields ?? new Map())].map(([key, { input }]) => {
      const value = text(input.value);
      return [key, key === 'count' && value ? Number(value) : value];
    });
    return {
      name: text(this.name.input.value),
      kind: kind || 'distance',
      from: kind ? text(this.from.input.value) : null,
      to: toLine || !kind ? null : text(this.to.input.value),
      line: toLine ? [this.lineA.input.value.trim(), this.lineB.input.value.trim()] : null,
      role: text(this.role.input.value),
      surface: text(this.surface.input.value),
      ...Object.fromEntries(told),
    };
  }
}
