// Small helpers: elements are made once, and touched again only where something has changed.

const SVG = "http://www.w3.org/2000/svg";

/** Make an SVG element with attributes, as the last child of `parent`. */
export function make(parent, name, attributes = {}) {
  const one = parent.ownerDocument.createElementNS(SVG, name);
  put(one, attributes);
  return parent.appendChild(one);
}

/** Set attributes where they are others than before. */
export function put(one, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (one.getAttribute(name) !== String(value)) one.setAttribute(name, value);
  }
}

/** Set words where they are others than before. */
export function write(one, text) {
  if (one.textContent !== text) one.textContent = text;
}

/** Show a button as one that can be used or not; the keyboard's focus stays on it all the same. */
export const offer = (button, isOffered) => put(button, { "aria-disabled": !isOffered });

export const find = (id) => document.getElementById(id);

/** Keep one thing for each key: make what is missing, and drop what is not wanted any more. */
export function keep(kept, keys, create) {
  const wanted = new Set(keys);
  for (const [key, one] of kept) {
    if (!wanted.has(key)) {
      one.root.remove();
      kept.delete(key);
    }
  }
  for (const key of wanted) if (!kept.has(key)) kept.set(key, create(key));
}
