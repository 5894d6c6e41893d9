/** Every change to a job, newest first: who, when, what. */
import { read } from '../api.js';
import { wallWords } from '../drawing/words.js';
import { byId, el, fill } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';

/**
 * @typedef {{seq: number, at: string, who: string, wall: string | null, what: string,
 *   undoes: number | null}} Happened
 */

/** @param {string} id */
async function show(id) {
  const [job, { events }] = await Promise.all([read(`/jobs/${id}`), read(`/jobs/${id}/events`)]);
  byId('job-name').textContent = `History of ${job.name}`;
  const names = new Map(
    job.walls.map((/** @type {{id: string, name: string}} */ wall) => [wall.id, wallWords(wall)]),
  );
  const newest = [...events].sort((/** @type {Happened} */ a, /** @type {Happened} */ b) => b.seq - a.seq);
  const rows = newest.map((/** @type {Happened} */ one) =>
    el(
      'tr',
      {},
      el(
        'td',
        {},
        el(
          'time',
          { datetime: one.at },
          new Date(one.at).toLocaleString(undefined, { dateStyle: 'short', timeStyle: 'short' }),
        ),
        el('div', {}, one.who),
      ),
      el('td', {}, one.wall ? (names.get(one.wall) ?? '') : 'job'),
      el('td', {}, one.what),
    ),
  );
  const head = el(
    'thead',
    {},
    el('tr', {}, ...['When, who', 'Where', 'What'].map((word) => el('th', { scope: 'col' }, word))),
  );
  fill(
    byId('events'),
    el(
      'table',
      {},
      el('caption', {}, `${rows.length} changes; none is ever altered.`),
      head,
      el('tbody', {}, ...rows),
    ),
  );
}

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'history' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
if (id) void new Notice(byId('notice'), life.signal).opening(() => show(id));
else location.replace('/');
