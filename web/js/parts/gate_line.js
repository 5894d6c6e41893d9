/** Whether a wall's sizes may be cut, in one line, and what is in the way. */
import { statusBadge } from '../drawing/status_shape.js';
import { el } from '../page/dom.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

/** @param {WallState} state */
export function gateLine(state) {
  if (state.refusal) return refusalLine(state.refusal);
  const gate = state.report?.gate;
  if (!gate) return el('p', { class: 'gate' }, 'Nothing measured yet.');
  if (gate.open) return el('p', { class: 'gate' }, statusBadge('open', 'every size taped and checked'));
  return el(
    'details',
    { class: 'gate' },
    el('summary', {}, statusBadge('shut', counted(gate.blocking))),
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
  if (rest) words.push(`${rest} to look at`);
  return `not for cutting: ${words.join(', ')}`;
}
