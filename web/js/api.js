/**
 * Talks to the service. Nothing else in the pages fetches.
 *
 * A write carries who makes it and a key under which the service does it once only, so that a write
 * whose answer was lost can be sent again.
 */
import { whoIsHere } from './state/settings.js';

const BASE = '/api';
const TRIES = 3;
const FIRST_WAIT_MS = 300;

/** What the service (or the connection) said no to, in words for a person. */
export class Problem extends Error {
  /**
   * @param {number} status HTTP status; 0 when the service was not reached
   * @param {{code?: string, title?: string, detail?: string, do?: string, field?: string}} body
   */
  constructor(status, body) {
    super(body.detail ?? body.title ?? `The service answered ${status}.`);
    this.status = status;
    this.code = body.code ?? '';
    this.remedy = body.do ?? '';
    this.field = body.field ?? '';
    this.body = body;
  }

  /** The same for whoever shows it at the field that it is about: its path is left out. */
  get inField() {
    const said = this.field ? this.text.replace(`${this.field}: `, '') : this.text;
    return said ? said[0].toUpperCase() + said.slice(1) : said;
  }

  /** What happened and what to do, in one line. */
  get text() {
    return this.remedy ? `${this.message} ${this.remedy}` : this.message;
  }
}

const UNREACHED = {
  code: 'not-reached',
  detail: 'The service cannot be reached.',
  do: 'Check the connection, then try again. Nothing you typed is lost.',
};

/**
 * Reads a document.
 * @param {string} path below the base
 * @param {{signal?: AbortSignal}} [options]
 * @returns {Promise<any>} its JSON
 */
export async function read(path, options = {}) {
  const response = await reach(path, { signal: options.signal });
  return decoded(response);
}

/**
 * Changes a document, once.
 * @param {'POST' | 'PUT' | 'PATCH' | 'DELETE'} method
 * @param {string} path
 * @param {unknown} [body]
 * @param {{revision?: number | null, key?: string}} [options] revision: the one that was seen
 * @returns {Promise<any>}
 */
export async function write(method, path, body, options = {}) {
  /** @type {Record<string, string>} */
  const headers = {
    'Idempotency-Key': options.key ?? crypto.randomUUID(),
    'Tapeproof-Who': encodeURIComponent(whoIsHere()),
  };
  if (options.revision != null) headers['If-Match'] = `"${options.revision}"`;
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  const sent = body === undefined ? undefined : JSON.stringify(body);
  return decoded(await again(() => reach(path, { method, headers, body: sent })));
}

/**
 * Sends one part of a file.
 * @param {string} path
 * @param {ArrayBuffer} bytes
 * @param {string} digest base64 SHA-256 of the bytes
 */
export async function writeBytes(path, bytes, digest) {
  const headers = {
    'Content-Type': 'application/octet-stream',
    'Content-Digest': `sha-256=:${digest}:`,
    'Tapeproof-Who': encodeURIComponent(whoIsHere()),
  };
  await decoded(await reach(path, { method: 'PUT', headers, body: bytes }));
}

/**
 * Follows what changes in a job, until closed.
 * @param {string} path
 * @param {(change: any) => void} heard
 * @returns {() => void} closes the stream
 */
export function follow(path, heard) {
  const source = new EventSource(BASE + path);
  const told = (/** @type {MessageEvent} */ event) => heard(JSON.parse(event.data));
  source.addEventListener('change', told);
  return () => {
    source.removeEventListener('change', told);
    source.close();
  };
}

/**
 * The address of a picture or document, for links and images.
 * @param {string} path
 */
export const address = (path) => BASE + path;

/**
 * @param {string} path
 * @param {RequestInit} init
 */
async function reach(path, init) {
  try {
    return await fetch(BASE + path, { ...init, headers: { Accept: 'application/json', ...init.headers } });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new Problem(0, UNREACHED);
  }
}

/**
 * Sends again what never arrived; the idempotency key makes that safe.
 * @param {() => Promise<Response>} send
 */
async function again(send) {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await send();
    } catch (error) {
      if (!(error instanceof Problem) || error.status !== 0 || attempt === TRIES) throw error;
      await new Promise((done) => setTimeout(done, FIRST_WAIT_MS * 2 ** attempt));
    }
  }
}

/** @param {Response} response */
async function decoded(response) {
  const text = await response.text();
  let body = null;
  try {
    body = text ? JSON.parse(text) : null;
  } catch {
    body = { detail: text.slice(0, 200) };
  }
  if (!response.ok) throw new Problem(response.status, body ?? {});
  return body;
}
