/** Pieces of SVG for the drawing over the film. */

const SVG = 'http://www.w3.org/2000/svg';

/** @param {string} name @param {Record<string, string|number>} [attributes] @param {Node[]} children */
export function shape(name, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  node.append(...children);
  return node;
}

/** A dark stroke under a light one: seen on black and on white. @param {string} d @param {string} kind */
export function strokes(d, kind) {
  return [shape('path', { d, class: `v-under ${kind}` }), shape('path', { d, class: `v-line ${kind}` })];
}

/** @param {number} x @param {number} y @param {string} words @param {string} kind */
export function label(x, y, words, kind) {
  const node = shape('text', { x, y, class: kind });
  node.textContent = words;
  return node;
}
