// What the consent begins with, in the first round and in later ones: what was read, and what is done to each wheel.

import { fold } from "/js/domain/job/fold.js";
import { findingsWords, workWords } from "/js/ui/sheets/consent-words.js";
import { planInShort } from "/js/ui/sheets/plan-table.js";
import { deepEqual, equal, ok, test } from "./harness.js";

let count = 0;
const entry = (slot, kind, body) => ({ id: `e${String((count += 1)).padStart(4, "0")}`, slot, kind, body, after: [] });
const reading = (slot, camber, toe) => entry(slot, "reading-taken", { camber: { mdeg: camber }, toe: { mdeg: toe } });
const PAIR = { ring_set: "demo-54", pair: [12, 31], effect: [600, -300] };
const WINDOW = { camber: [-1500, -500], toe: [0, 200] };
const plan = (round, left, right, more = {}) => entry(`round.${round}.plan`, "plan-chosen", {
  plan: { left, right, toe_outside: 0, camber_outside: 0 },
  input: { wheels: { left: { camber: -9, toe: -9 }, right: { camber: -9, toe: -9 } },
    windows: { left: WINDOW, right: WINDOW }, axle: {} },
  ...more,
});
const app = {
  t: (key, params = {}) => [key.replace("fitting.consent.", ""), ...Object.values(params)]
    .filter((part) => part !== undefined && part !== null).join(" "),
  words: { say: (quantity, mdeg) => `${mdeg}`, judge: () => "judged" },
};
const FIRST = [reading("base.left.1", -1640, 420), reading("base.right.1", -1120, 60), plan(1, PAIR, PAIR)];
const CHECKED = [...FIRST, reading("round.1.check.left.1", -1200, 150), reading("round.1.check.right.1", -600, -80)];
const work = (entries, round) => workWords(app, fold(entries), round, (id) => id).split("\n").slice(0, 2);

test("a wheel that keeps its pair stays closed, one that loses it is opened, and neither is called without rings",
    () => {
  deepEqual(work([...CHECKED, plan(2, PAIR, null, { open: ["left"] })], 2),
    ["work.rings ui.side.left demo-54 12 31", "work.closed ui.side.right"]);
  deepEqual(work([...CHECKED, plan(2, null, PAIR, { open: ["left", "right"] })], 2),
    ["work.out ui.side.left", "work.rings ui.side.right demo-54 12 31"]);
  deepEqual(work([...FIRST.slice(0, 2), plan(1, PAIR, null)], 1),
    ["work.rings ui.side.left demo-54 12 31", "work.none ui.side.right"]);
});

test("found is what was read last before the round, never what was estimated", () => {
  const first = findingsWords(app, fold(FIRST), 1);
  ok(first.includes("-1640") && first.includes("-1120") && !first.includes("-9 "), first);
  const later = findingsWords(app, fold([...CHECKED, plan(2, PAIR, null, { open: ["left"] })]), 2);
  ok(later.includes("-1200") && later.includes("-80") && !later.includes("-1640") && !later.includes("-9 "), later);
  equal(findingsWords(app, fold([...FIRST, plan(2, PAIR, null, { open: ["left"] })]), 2), "", "nothing was read");
});

test("a plan in short says which wheel stays closed and where a pair comes out", () => {
  const short = (left, right, choice) =>
    planInShort(app.t, { left, right, pairs: [left, right].filter(Boolean).length }, choice);
  equal(short(PAIR, null, { closed: ["right"], old: ["left"] }),
    "ui.choose.short.pair ui.side.left 12 31, ui.choose.short.closed ui.side.right");
  equal(short(null, null, { closed: ["left"], old: ["right"] }),
    "ui.choose.short.closed ui.side.left, ui.choose.short.out ui.side.right");
  equal(short(null, PAIR), "ui.choose.short.none ui.side.left, ui.choose.short.pair ui.side.right 12 31");
  equal(short(null, null), "ui.choose.short.nowhere");
});
