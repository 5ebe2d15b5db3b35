// Puts one drawing on an empty page for test_drawings.py: styles, words and the widget, nothing of the screens.

import { makeText } from "/js/ui/words/text.js";

const STYLES = ["tokens", "base", "controls", "layout", "drawings", "sheets", "cards"];

const TEXTS = ["drawings", "sheets", "titles"];

async function styled() {
  if (document.querySelector("link[rel=stylesheet]")) return;
  await Promise.all(STYLES.map((name) => new Promise((resolve, reject) => {
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.href = `/css/${name}.css`;
    link.onload = resolve;
    link.onerror = () => reject(new Error(`no style ${name}`));
    document.head.append(link);
  })));
}

/** Shows `Widget` of /js/ui/<module>.js with the model; what its callbacks get is kept in window.heard. */
export async function show({ module, widget, model, theme = "light", language = "en", callbacks = [] }) {
  await styled();
  document.documentElement.dataset.theme = theme;
  document.documentElement.lang = language;
  window.heard = [];
  const files = await Promise.all(TEXTS.map(async (name) => (await fetch(`/text/${language}/${name}.json`)).json()));
  const t = makeText(Object.assign({}, ...files), language);
  const heard = Object.fromEntries(callbacks.map((name) => [name, (what) => window.heard.push([name, what])]));
  const Widget = (await import(`/js/ui/${module}.js`))[widget];
  window.shown = new Widget({ t, ...heard });
  window.shown.update(model);
  const main = document.createElement("main");
  main.style.container = "none"; // without the bars around it the page is as long as what it shows
  main.append(window.shown.element);
  document.body.replaceChildren(main);
}

/**
 * Where a shape's points are in the drawing's own units (mm, y down), after every transform; `points` are pairs of
 * attributes.
 */
export function placesOf(selector, ...points) {
  return [...document.querySelectorAll(selector)].map((node) => {
    const toDrawing = node.ownerSVGElement.getScreenCTM().inverse().multiply(node.getScreenCTM());
    const places = points.map(([x, y]) => {
      const place = new DOMPoint(Number(node.getAttribute(x)), Number(node.getAttribute(y))).matrixTransform(toDrawing);
      return [place.x, place.y];
    });
    return { ...node.dataset, ...node.parentNode.dataset, places };
  });
}

/** Texts that leave their drawing or lie on one another: [[text, what is wrong]]. Arc texts are checked by eye. */
export function textTroubles() {
  const troubles = [];
  for (const drawing of document.querySelectorAll("svg.drawing")) {
    const frame = drawing.getBoundingClientRect();
    const texts = [...drawing.querySelectorAll("text")].filter((node) => !node.querySelector("textPath"))
      .map((node) => ({ text: node.textContent, box: node.getBoundingClientRect() }));
    texts.forEach(({ text, box }, n) => {
      if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1
        || box.bottom > frame.bottom + 1) troubles.push([text, "leaves the drawing"]);
      for (const other of texts.slice(n + 1)) {
        const wide = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
        const high = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
        // A line box is higher than its figures by about half: only a real touch of figures counts.
        if (wide > 1 && high > 0.42 * Math.min(box.height, other.box.height))
          troubles.push([text, `lies on ${other.text}`]);
      }
    });
  }
  return troubles;
}

/**
 * [text, graphics]: the least contrast of the drawings' text, and of every shape that has no solid colour of paper,
 * against both grounds that they may stand on (WCAG 2.2, relative luminance). Hollow figures count by their outline.
 */
export function leastContrasts() {
  const root = getComputedStyle(document.documentElement);
  const grounds = ["--ground", "--sheet"].map((name) => rgbOf(root.getPropertyValue(name).trim()));
  const least = (colours) => Math.min(
    ...colours.flatMap((colour) => grounds.map((ground) => contrast(rgbOf(colour), ground))));
  const text = [], graphics = [];
  for (const node of document.querySelectorAll("svg.drawing text")) {
    const style = getComputedStyle(node);
    text.push(node.matches(".away .hollow") ? style.stroke : style.fill);
  }
  const shapes =
    ".ring-body, .ring-tick, .witness-line, .ring-edge, .map-frame, .map-zero, .map-dots, "
    + ".map-edge, .map-mark, .map-spread";
  for (const node of document.querySelectorAll(shapes)) graphics.push(getComputedStyle(node).stroke);
  return [least(text), graphics.length ? least(graphics) : NaN];
}

function rgbOf(colour) {
  const probe = document.createElement("span");
  probe.style.color = colour;
  document.body.append(probe);
  const parts = getComputedStyle(probe).color.match(/[\d.]+/g).slice(0, 3).map(Number);
  probe.remove();
  return parts;
}

function contrast(a, b) {
  const luminance = (rgb) => {
    const [r, g, blue] = rgb.map((part) =>
      (part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  };
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}
