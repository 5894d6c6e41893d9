/** What was typed and not kept yet, in this browser. */

const PREFIX = 'tapeproof.draft.';

/** @param {string} name @returns {any} null where nothing waits */
export function keptDraft(name) {
  const text = localStorage.getItem(PREFIX + name);
  if (text === null) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** @param {string} name @param {any} draft */
export function keepDraft(name, draft) {
  localStorage.setItem(PREFIX + name, JSON.stringify(draft));
}

/** @param {string} name */
export function dropDraft(name) {
  localStorage.removeItem(PREFIX + name);
}

/**
 * The rest of the names of all drafts that begin so, in order.
 * @param {string} start
 */
export function draftsUnder(start) {
  const whole = PREFIX + start;
  const names = Object.keys(localStorage).filter((name) => name.startsWith(whole));
  return names.map((name) => name.slice(whole.length)).sort();
}
