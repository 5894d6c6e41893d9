/** What the service found in a photo: cards or why not, and what would make it count for more. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @typedef {import('../types.js').Report} Report */

const WHY_NO_CARD = Object.freeze([
  'The whole card must be in the photo, flat on the wall, and no smaller than a stamp on the screen.',
  'Step closer until the card is at least an eighth of the photo’s width, or put a second one there.',
  'Glare, deep shade or a hand over it hides its squares; so does a photo taken while moving.',
]);

/**
 * @param {import('../types.js').PhotoFacts} photo
 * @param {Report | null} [report] of the wall
 */
export function photoFacts(photo, report = null) {
  if (photo.state === 'looking') return el('p', {}, 'The card is being looked for…');
  if (photo.refusal) {
    return el(
      'div',
      { class: 'caution' },
      statusBadge('conflicts', 'not usable'),
      el('p', {}, `${photo.refusal.text} ${photo.refusal.do}`),
    );
  }
  const inReport = report?.photos.find((one) => one.file === photo.file)?.advice;
  const advice = (inReport ?? photo.advice).map((one) => el('li', {}, one.text));
  return el(
    'div',
    {},
    photo.cards.length ? found(photo) : whyNot(photo),
    advice.length ? el('ul', { class: 'advice' }, ...advice) : null,
  );
}

/** What would narrow the wall's sizes most, in words; null where nothing is worth it. @param {Report | null} report */
export function whatHelps(report) {
  const advice = report?.advice ?? [];
  if (advice.length === 0) return null;
  return el(
    'div',
    { class: 'helps' },
    el('h3', {}, 'What would help most'),
    el('ul', { class: 'advice' }, ...advice.map((one) => el('li', {}, one.text))),
  );
}

/** @param {import('../types.js').PhotoFacts} photo */
function found(photo) {
  const serials = photo.cards.map((card) => card.serial).join(' and ');
  return el(
    'p',
    {},
    statusBadge('agrees', photo.cards.length > 1 ? `cards ${serials} found` : `card ${serials} found`),
  );
}

/** What was seen that may be a card, else what usually hides one. @param {import('../types.js').PhotoFacts} photo */
function whyNot(photo) {
  const seen = photo.notes.map((note) => note.text);
  const why = seen.length ? seen : WHY_NO_CARD;
  return el(
    'div',
    { class: 'no-card' },
    el('p', {}, statusBadge('unsure', 'no card found')),
    el('p', {}, seen.length ? 'What was seen:' : 'What usually hides a card:'),
    el('ul', { class: 'advice' }, ...why.map((text) => el('li', {}, text))),
  );
}
