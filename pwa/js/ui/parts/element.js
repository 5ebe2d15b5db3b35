/**
 * The one way the screens make DOM nodes: createElement and textContent, so that nothing a person
 * typed can ever become markup (Trusted Types forbid innerHTML here).
 */

import { inOrder } from "../words/text.js";

/**
 * Makes an element.
 * @param {string} tag
 * @param {Object<string, *>} [attributes] `class`, `text`, `on` ({event: listener}), `key` (data-key, the
 *   stable name that tests use), boolean attributes as true or false, null leaves an attribute out
 * @param {...(Node|string|null|undefined|false|Array)} children nodes or plain text; empty ones are skipped
 * @returns {HTMLElement}
 */
export function element(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) setAttribute(node, name, value);
  node.append(...children.flat(Infinity).filter((child) => child || child === 0).map(asNode));
  return node;
}

/**
 * Replaces what is inside a node, leaving out empty children. A child that stays is not taken out and put in again: it
 * would lose the focus, and with it the phone's own keyboard.
 */
export function fill(node, ...children) {
  const wanted = children.flat(Infinity).filter((child) => child || child === 0).map(asNode);
  if (!wanted.some((child) => child.parentNode === node)) {
    node.replaceChildren(...wanted);
    return node;
  }
  for (const child of [...node.childNodes]) if (!wanted.includes(child)) child.remove();
  wanted.forEach((child, at) => { if (node.childNodes[at] !== child)
    node.insertBefore(child, node.childNodes[at] ?? null); });
  return node;
}

/**
 * The same for what only says something, and hears no tap: what stands there in the same words stays, so that it is
 * neither laid out nor read out again.
 */
export function refill(node, ...children) {
  const made = element("div", {}, ...children);
  const isSame = node.childNodes.length === made.childNodes.length
    && [...node.childNodes].every((child, at) => child.isEqualNode(made.childNodes[at]));
  if (!isSame) node.replaceChildren(...made.childNodes);
}

/** Writes a text where another stands: the same text written again would have the browser lay its place out anew. */
export function say(node, text) {
  const shown = inOrder(text);
  if (node.textContent !== shown) node.textContent = shown;
}

/**
 * A button of this program: always type=button, always with a stable key.
 * @param {{key: string, label: string, onPress: function(Event): void, kind?: string, detail?: Node|string,
 *   pressed?: boolean, name?: string}} options `name` replaces the label for screen readers
 */
export function button({ key, label, onPress, kind = "plain", detail = null, pressed, name }) {
  return element(
    "button",
    {
      type: "button",
      class: `button ${kind}`,
      key,
      "aria-pressed": pressed === undefined ? null : String(pressed),
      "aria-label": name ?? null,
      on: { click: onPress },
    },
    element("span", { class: "button-label", text: label }),
    detail,
  );
}

let lastId = 0;

/** A fresh id for tying a label or a description to its control. */
export function freshId(prefix) {
  lastId += 1;
  return `${prefix}-${lastId}`;
}

function setAttribute(node, name, value) {
  if (value === null || value === undefined || value === false) return;
  if (name === "text") node.textContent = inOrder(value);
  else if (name === "on") for (const [event, listener] of Object.entries(value)) node.addEventListener(event, listener);
  else if (name === "key") node.dataset.key = value;
  else node.setAttribute(name, value === true ? "" : value);
}

function asNode(child) {
  return child instanceof Node ? child : document.createTextNode(inOrder(child));
}
