/** What the service found in a photo: cards or why not, and advice for a better one. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @param {import('../types.js').PhotoFacts} photo */
export function photoFacts(photo) {
  if (photo.state === 'looking') return el('p', {}, 'The card is being looked for…');
  if (photo.refusal) {
    return el(
      'div',
      { class: 'caution' },
      statusBadge('conflicts', 'not usable'),
      el('p', {}, `${photo.refusal.text} ${photo.refusal.do}`),
    );
  }
  const serials = photo.cards.map((card) => card.serial).join(' and ');
  const found = photo.cards.length
    ? el(
        'p',
        {},
        statusBadge('agrees', photo.cards.length > 1 ? `cards ${serials} found` : `card ${serials} found`),
      )
    : el('p', {}, statusBadge('unsure', 'no card found'));
  const advice = photo.advice.map((one) => el('li', {}, one.text));
  return el('div', {}, found, advice.length ? el('ul', {}, ...advice) : null);
}
