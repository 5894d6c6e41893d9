/** The locked revisions of one sheet, read when they are opened. */
import { el, fill, listen } from '../page/dom.js';

const SHOWN_AT_ONCE = 8;

/** What has changed since the last revision: at once while it is little. */
export function changes(/** @type {any} */ release) {
  if (release.changes.length === 0 || !release.revision) return null;
  return el(
    'details',
    { open: release.changes.length <= SHOWN_AT_ONCE, class: 'changes' },
    el('summary', {}, `Changed since revision ${release.revision}: ${release.changes.length}`),
    el('ul', {}, ...release.changes.map((/** @type {string} */ text) => el('li', {}, text))),
  );
}

/**
 * @param {string | null} newest letter
 * @param {() => Promise<any>} load
 * @param {AbortSignal} signal
 */
export function revisionList(newest, load, signal) {
  if (!newest) return null;
  const place = el('div', {}, el('p', {}, 'Reading them…'));
  const fold = el('details', {}, el('summary', {}, `Revisions up to ${newest}`), place);
  listen(
    fold,
    'toggle',
    async () => {
      if (!fold.open) return;
      const { revisions } = await load();
      fill(place, ...[...revisions].reverse().map(revision));
    },
    signal,
  );
  return fold;
}

/** @param {any} one */
function revision(one) {
  const when = new Date(one.at).toLocaleString();
  const whole = one.intact ? 'whole' : 'NOT AS IT WAS LOCKED';
  const content = Object.entries(one.content).flatMap(([name, text]) => [
    el('dt', {}, name),
    el('dd', {}, String(text)),
  ]);
  return el(
    'section',
    { class: 'revision' },
    el('h3', {}, `Revision ${one.letter}`),
    el('p', {}, `${one.who}, ${when}. Hash ${one.fingerprint.slice(0, 12)}, ${whole}.`),
    one.changes.length
      ? el('ul', {}, ...one.changes.map((/** @type {string} */ text) => el('li', {}, text)))
      : null,
    el(
      'details',
      {},
      el('summary', {}, `All that ${one.letter} is cut by`),
      el('dl', { class: 'facts' }, ...content),
    ),
  );
}
