/** Cards: print them, say how large they came out, and which card came from which print. */
import { address, read, write } from '../api.js';
import { wallWords } from '../drawing/words.js';
import { button, byId, el, fill, listen } from '../page/dom.js';
import { showHeader } from '../page/header.js';
import { Notice } from '../page/notice.js';
import { LensSection } from '../parts/lens_section.js';
import { JobFacts } from '../state/job_facts.js';
import { UploadQueue } from '../state/upload_queue.js';

/**
 * @typedef {{axis: 'x' | 'y', nominal_mm: number, measured: string, half_width_mm: number}} Check
 */

/** The two bars printed on every card. */
const BARS = /** @type {const} */ ([
  { axis: 'x', nominal_mm: 170, word: 'Bar along the short side, designed 170 mm' },
  { axis: 'y', nominal_mm: 240, word: 'Bar along the long side, designed 240 mm' },
]);
const HALF_WIDTH_MM = 0.25;
const SERIALS = 6;
const [PRINT, AWAY, ABOUT] = ['Print', 'Off the wall, mm', 'Give or take, mm'];

class CardsPage {
  /** @param {string} id @param {AbortSignal} signal */
  constructor(id, signal) {
    this.id = id;
    this.signal = signal;
    this.facts = new JobFacts(id);
    this.notice = new Notice(byId('notice'), signal);
    this.shown = new AbortController();
    this.queue = new UploadQueue();
    this.lens = new LensSection(byId('lens'), id, this.queue, this.notice, signal);
    listen(byId('print'), 'submit', (event) => this.#print(event), signal);
    listen(byId('new-print'), 'submit', (event) => this.#newPrint(event), signal);
  }

  async open() {
    await this.facts.load();
    byId('job-name').textContent = `Cards of ${this.facts.job.name}`;
    await this.show();
    await this.lens.refresh();
    await this.queue.start(this.signal);
    this.facts.keepUp(this.signal);
    this.facts.addEventListener('changed', () => void this.show(), { signal: this.signal });
  }

  async show() {
    const { revision, print_jobs } = await read(`/jobs/${this.id}/print-jobs`);
    this.revision = revision;
    /** @type {Record<string, Check[]>} */
    this.prints = print_jobs;
    this.shown.abort();
    this.shown = new AbortController();
    fill(byId('prints'), ...this.#printNames().map((name) => this.#printForm(name)));
    fill(byId('on-walls'), this.#cardTable());
  }

  /** Names of print jobs that are checked or that a card is said to come from. */
  #printNames() {
    const said = [...this.facts.walls.values()].flatMap(({ facts }) =>
      facts.cards.map((card) => card.print_job),
    );
    return [...new Set([...Object.keys(this.prints ?? {}), ...said])]
      .filter((name) => name)
      .map(String)
      .sort();
  }

  /** @param {string} name */
  #printForm(name) {
    const checks = this.prints?.[name] ?? [];
    const fields = BARS.map((bar) => {
      const id = `bar-${name}-${bar.axis}`;
      const known = checks.find((check) => check.axis === bar.axis);
      const input = el('input', {
        id,
        name: bar.axis,
        type: 'text',
        inputmode: 'decimal',
        value: known?.measured ?? '',
        placeholder: `${bar.nominal_mm - 0.5} mm`,
      });
      return el('div', { class: 'field' }, el('label', { for: id }, bar.word), input);
    });
    const form = el(
      'form',
      { class: 'print-form', 'aria-label': `Ruler check of print ${name}` },
      el('h3', {}, `Print ${name}`),
      ...fields,
      el(
        'p',
        { class: 'quiet-text' },
        `Ruler along the whole bar, read to half a millimetre. ${said(checks)}`,
      ),
      el('button', { type: 'submit' }, 'Keep the check'),
    );
    listen(form, 'submit', (event) => this.#check(event, name), this.shown.signal);
    return form;
  }

  /** @param {SubmitEvent} event @param {string} name */
  #check(event, name) {
    event.preventDefault();
    const typed = new FormData(/** @type {HTMLFormElement} */ (event.target));
    const checks = BARS.flatMap(({ axis, nominal_mm }) => {
      const text = String(typed.get(axis) ?? '').trim();
      if (!text) return [];
      return [
        {
          axis,
          nominal_mm,
          measured: /[a-z"]/iu.test(text) ? text : `${text} mm`,
          half_width_mm: HALF_WIDTH_MM,
        },
      ];
    });
    void this.notice.guard(async () => {
      await write(
        'PUT',
        `/jobs/${this.id}/print-jobs/${encodeURIComponent(name)}`,
        { checks },
        { revision: this.revision },
      );
      await this.facts.load(); // the check counts in every wall, so each has a new revision
      await this.show();
      this.notice.say(`Print ${name}: kept. All sizes from its cards are measured anew.`);
    });
  }

  #cardTable() {
    const rows = this.facts.inOrder().flatMap(({ facts }) => {
      const seen = /** @type {any} */ (facts).found_cards ?? [];
      const serials = [...new Set([...facts.cards.map((card) => card.serial), ...seen])].sort(
        (a, b) => a - b,
      );
      return serials.map((serial) => this.#cardRow(facts, serial, seen.includes(serial)));
    });
    if (rows.length === 0) return el('p', { class: 'quiet-text' }, 'No card has been seen in a photo yet.');
    const heads = ['Wall', 'Card', PRINT, AWAY, ABOUT, ''].map((word) =>
      word ? el('th', { scope: 'col' }, word) : el('td', {}),
    );
    return el(
      'div',
      { class: 'table-scroll', tabindex: 0, role: 'region', 'aria-label': 'Cards, one by one' },
      el('table', {}, el('thead', {}, el('tr', {}, ...heads)), el('tbody', {}, ...rows)),
    );
  }

  /** @param {import('../types.js').WallFacts} wall @param {number} serial @param {boolean} seen */
  #cardRow(wall, serial, seen) {
    const card = wall.cards.find((one) => one.serial === serial);
    const print = el('input', {
      type: 'text',
      value: card?.print_job ?? '',
      'aria-label': `Print of card ${serial}`,
      maxlength: 20,
    });
    const away = el('input', {
      type: 'text',
      inputmode: 'decimal',
      value: card?.standoff_mm ?? 0.5,
      'aria-label': `How far card ${serial} stands off the wall, mm`,
    });
    const about = el('input', {
      type: 'text',
      inputmode: 'decimal',
      value: card?.standoff_u_mm ?? 1,
      'aria-label': `How sure that is of card ${serial}, mm`,
    });
    const keep = () =>
      void this.notice.guard(async () => {
        const body = {
          print_job: print.value.trim() || null,
          standoff_mm: Number(away.value),
          standoff_u_mm: Number(about.value),
        };
        await this.facts.change(wall.id, 'PUT', `/walls/${wall.id}/cards/${serial}`, body);
        this.notice.say(`Card ${serial}: kept.`);
      });
    return el(
      'tr',
      {},
      el('td', {}, wallWords(wall)),
      el('th', { scope: 'row' }, `${serial}${seen ? '' : ' (not seen yet)'}`),
      el('td', { 'data-head': PRINT }, print),
      el('td', { 'data-head': AWAY }, away),
      el('td', { 'data-head': ABOUT }, about),
      el('td', {}, button('Keep', keep, this.shown.signal, { 'aria-label': `Keep card ${serial}` })),
    );
  }

  /** @param {SubmitEvent} event */
  #print(event) {
    event.preventDefault();
    const typed = new FormData(/** @type {HTMLFormElement} */ (event.target));
    globalThis.open(
      address(`/cards/${typed.get('serial')}.pdf?paper=${typed.get('paper')}`),
      '_blank',
      'noopener',
    );
  }

  /** @param {SubmitEvent} event */
  #newPrint(event) {
    event.preventDefault();
    const name = String(new FormData(/** @type {HTMLFormElement} */ (event.target)).get('name') ?? '').trim();
    if (!name) return;
    this.prints = { ...this.prints, [name]: this.prints?.[name] ?? [] };
    fill(byId('prints'), ...this.#printNames().map((one) => this.#printForm(one)));
    byId(`bar-${name}-x`).focus();
  }
}

/** What a check comes to, in per cent. @param {Check[]} checks */
function said(checks) {
  if (checks.length === 0) return 'Not checked: photo sizes may be out by 1.5 %, which is 7/8 in on 5 ft.';
  return checks
    .map(({ axis, measured, nominal_mm }) => {
      const off = (Number.parseFloat(measured) / nominal_mm - 1) * 100;
      const words = off === 0 ? 'as designed' : `${Math.abs(off).toFixed(2)} % too ${off < 0 ? 'short' : 'long'}`;
      return /mm/u.test(measured) ? `${axis === 'x' ? 'Short' : 'Long'} side ${words}.` : '';
    })
    .join(' ');
}

const life = new AbortController();
const id = new URLSearchParams(location.search).get('job');
showHeader(byId('header'), { job: id, here: 'cards' }, life.signal);
globalThis.addEventListener('pagehide', (event) => event.persisted || life.abort(), { signal: life.signal });
fill(
  byId('serial'),
  ...Array.from({ length: SERIALS }, (_, number) => el('option', { value: number + 1 }, String(number + 1))),
);
if (id) {
  const page = new CardsPage(id, life.signal);
  void page.notice.opening(() => page.open());
} else {
  location.replace('/');
}
