/** Whether a wall's sizes may be cut, in one line, and what is in the way. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

/**
 * @param {WallState} state
 * @param {string | undefined} locked the letter that its sheet was locked under last
 */
export function gateLine(state, locked) {
  const line = sizesLine(state, locked);
  if (!locked) return line;
  const plan = `/plan.html?job=${encodeURIComponent(state.facts.job)}`;
  const link = el('a', { href: plan }, 'The plan');
  const sheet = el('b', {}, `Sheet locked as revision ${locked}. `);
  return el('div', {}, el('p', {}, sheet, link, ' tells whether that still holds.'), line);
}

/** @param {WallState} state @param {string | undefined} locked */
function sizesLine(state, locked) {
  if (state.refusal) return refusalLine(state.refusal);
  const gate = state.report?.gate;
  if (!gate) return el('p', { class: 'gate' }, 'Nothing measured yet.');
  if (gate.open) return el('p', { class: 'gate' }, statusBadge('open', 'every size proved'));
  return el(
    'details',
    { class: 'gate' },
    el('summary', {}, statusBadge('shut', `${locked ? '' : 'not for cutting: '}${counted(gate.blocking)}`)),
    el(
      'ul',
      {},
      ...gate.blocking.map((other) => el('li', {}, el('b', {}, other.dimension), `: ${other.why}`)),
    ),
  );
}

/** @param {import('../types.js').Refusal} refusal */
function refusalLine(refusal) {
  return el('p', { class: 'gate' }, statusBadge('shut', 'not measured'), ` ${refusal.text} ${refusal.do}`);
}

/** @param {import('../types.js').Blocking[]} blocking */
function counted(blocking) {
  const untaped = blocking.filter((other) => other.why === 'not taped').length;
  const rest = blocking.length - untaped;
  const words = [];
  if (untaped) words.push(`${untaped} to tape`);
  if (rest) words.push(`${rest} not proved`);
  return words.join(', ');
}
