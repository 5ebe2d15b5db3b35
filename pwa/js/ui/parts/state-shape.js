/**
 * The few shapes that say a state beside its words: each differs in outline, none by colour.
 * They are hidden from screen readers, because the words always stand next to them.
 */

import { svg } from "./svg.js";

const OCTAGON = "M8 2h8l6 6v8l-6 6H8l-6-6V8z";

/** Outlines on a 24 by 24 grid: [class, path]. An octagon means a hold, a bar through it a hold gone past. */
const OUTLINES = {
  done: [["solid", "M3 3h18v18H3z"], ["cut", "M7 12.5l3.5 3.5L17.5 8"]],
  open: [["stroke", "M4 4h16v16H4z"]],
  hold: [["stroke", OCTAGON], ["stroke", "M8 12h8"]],
  overridden: [["stroke", OCTAGON], ["stroke heavy", "M4 20L20 4"]],
  locked: [["solid", "M5 11h14v10H5z"], ["stroke", "M8 11V7a4 4 0 0 1 8 0v4"]],
  refused: [["stroke heavy", "M5 5l14 14M19 5L5 19"]],
  warning: [["solid", "M12 2.5L22.5 21h-21z"], ["cut", "M12 9v6M12 17.2v1.6"]],
  waiting: [["stroke heavy", "M12 21V5M5.5 11L12 4.5 18.5 11"]],
  stopped: [["stroke heavy", "M6 4v16M18 4v16"]],
  left: [["stroke heavy", "M14 3L4 12l10 9M5 12h15"]],
  right: [["stroke heavy", "M10 3l10 9-10 9M19 12H4"]],
  back: [["stroke heavy", "M14.5 4L6.5 12l8 8"]],
  list: [["stroke heavy", "M4 6h16M4 12h16M4 18h16"]],
  undo: [["stroke heavy", "M9 5L4 10l5 5M4.5 10H14a5.5 5.5 0 0 1 0 11h-4"]],
  unknown: [["stroke heavy", "M8 8.5a4 4 0 1 1 6.2 3.3c-1.5 1-2.2 1.7-2.2 3.6"], ["stroke heavy", "M12 20v.2"]],
  suits: [["stroke heavy", "M4 13l5.5 5.5L20 6"]],
  inside: [["stroke", "M4 4h16v16H4z"], ["solid", "M10.5 10.5h3v3h-3z"]],
  outside: [["stroke", "M4 6h11v12H4z"], ["solid", "M19.5 10.5h3v3h-3z"]],
};

/**
 * @param {keyof OUTLINES} name
 * @returns {SVGElement}
 */
export function stateShape(name) {
  const parts = OUTLINES[name].map(([className, d]) => svg("path", { class: className, d }));
  return svg("svg", { "viewBox": "0 0 24 24", "class": `shape shape-${name}`, "aria-hidden": "true" }, parts);
}
