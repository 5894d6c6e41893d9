/** Makes elements. Text goes in as text, never as markup. */

const SVG = 'http://www.w3.org/2000/svg';

/** @typedef {Node | string | null | undefined | false} Child */
/** @typedef {Record<string, string | number | boolean | null | undefined>} Attributes */

/**
 * An HTML element. A `true` attribute is set empty; `false`, null and undefined are left out.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} name
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function el(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  dress(made, attributes, children.map(inOnePiece));
  return made;
}

/**
 * An SVG element.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} name
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {SVGElementTagNameMap[T]}
 */
export function svg(name, attributes = {}, ...children) {
  const made = document.createElementNS(SVG, name);
  dress(made, attributes, children);
  return made;
}

/**
 * Puts children in the place of what is there.
 * @param {Element} parent
 * @param {...Child} children
 */
export function fill(parent, ...children) {
  parent.replaceChildren(...children.map(inOnePiece).filter(isChild));
}

/**
 * Listens until the signal ends it.
 * @param {EventTarget} target
 * @param {string} type
 * @param {(event: any) => void} heard
 * @param {AbortSignal} signal
 * @param {AddEventListenerOptions} [options]
 */
export function listen(target, type, heard, signal, options = {}) {
  target.addEventListener(type, heard, { ...options, signal });
}

/**
 * A button that does one thing.
 * @param {Child | Child[]} label
 * @param {() => void} pressed
 * @param {AbortSignal} signal
 * @param {Attributes} [attributes]
 */
export function button(label, pressed, signal, attributes = {}) {
  const made = el('button', { type: 'button', ...attributes }, ...[label].flat());
  listen(made, 'click', pressed, signal);
  return made;
}

/**
 * The element with this id, which the page must have.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`The page has no element "${id}".`);
  return found;
}

/** @param {Child} child @returns {child is Node | string} */
const isChild = (child) => child !== null && child !== undefined && child !== false;

/** @param {Element} made @param {Attributes} attributes @param {Child[]} children */
function dress(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    made.setAttribute(name, value === true ? '' : String(value));
  }
  made.append(...children.filter(isChild));
}

/** Within a length, where no line may end: `66` over `3/4` would be read as two sizes. */
const WITHIN_LENGTH = /(?<=\d) (?=\d+\/\d)|(?<=±) (?=\d)/gu;

/** @param {Child} child @returns {Child} */
const inOnePiece = (child) => (typeof child === 'string' ? child.replaceAll(WITHIN_LENGTH, '\u00a0') : child);
