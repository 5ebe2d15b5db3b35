/** The one way the drawings make SVG nodes: createElementNS and textContent. It sets no style: drawings.css does. */

import { inOrder } from "../words/text.js";

const SVG = "http://www.w3.org/2000/svg";

/**
 * Makes an SVG element.
 * @param {string} tag
 * @param {Object<string, *>} [attributes] `text` is the text content; null, undefined and false leave one out
 * @param {...(Node|null|false|Array)} children empty ones are skipped
 * @returns {SVGElement}
 */
export function svg(tag, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "text") node.textContent = inOrder(value);
    else node.setAttribute(name, typeof value === "number" ? String(Number(value.toFixed(4))) : value);
  }
  node.append(...children.flat(Infinity).filter(Boolean));
  return node;
}

/** A drawing with its title and description for those who cannot see it. */
export function drawing({ width, height, left = 0, top = 0, kind, title, description }, ...children) {
  const node = svg("svg", { viewBox: `${left} ${top} ${width} ${height}`, class: `drawing ${kind}`, role: "img" });
  node.setAttribute("aria-label", title);
  node.append(svg("title", { text: title }), svg("desc", { text: description }),
    ...children.flat(Infinity).filter(Boolean));
  return node;
}
