/** The wall's points: which are set in this photo, which are still to set, and what each serves. */
import { button, el } from '../page/dom.js';
import { servedBy } from '../state/point_order.js';

/** @typedef {import('../types.js').WallFacts} WallFacts */

/**
 * @param {WallFacts} wall
 * @param {string[]} names
 * @param {Set<string>} done in this photo
 * @param {string} current
 * @param {(name: string) => void} choose
 * @param {AbortSignal} signal
 */
export function pointList(wall, names, done, current, choose, signal) {
  const open = names.filter((name) => !done.has(name));
  const set = names.filter((name) => done.has(name));
  return el(
    'div',
    { class: 'point-lists' },
    el('h2', {}, `To set in this photo: ${open.length}`),
    list(open, 'Points still to set'),
    el('h2', {}, `Set: ${set.length}`),
    list(set, 'Points that are set'),
  );

  /** @param {string[]} some @param {string} label */
  function list(some, label) {
    return el('ul', { class: 'points', 'aria-label': label }, ...some.map((name) => item(name)));
  }

  /** @param {string} name */
  function item(name) {
    const serves = servedBy(wall, name).filter((served) => served !== name);
    const elsewhere = wall.photos.filter((photo) => name in (photo.marks ?? {})).length;
    const said = [
      serves.length ? `for ${serves.join(', ')}` : '',
      elsewhere ? `set in ${elsewhere} photo${elsewhere > 1 ? 's' : ''}` : 'in no photo yet',
    ];
    const label = [el('b', {}, name), el('span', { class: 'quiet-text' }, said.filter(Boolean).join(' · '))];
    return el(
      'li',
      {},
      button(label, () => choose(name), signal, {
        'data-point': name,
        'aria-pressed': String(name === current),
      }),
    );
  }
}
