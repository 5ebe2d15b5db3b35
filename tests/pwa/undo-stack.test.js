// What is taken back together stays takeable back where its saving fails half-way, and nobody else's answer is written
// over.

import { Answers } from "/js/ui/sheets/save-answers.js";
import { UndoStack } from "/js/ui/undo-stack.js";
import { SheetsJob } from "./sheets-job.js";
import { deepEqual, equal, test } from "./harness.js";

const field = (slot) => ({ job: "j", kind: "field-set", slot, body: { value: null } });

test("one answer of several entries that could not be taken back whole is taken back by the next press", async () => {
  const undo = new UndoStack();
  undo.push(field("one"), []);
  undo.push(field("two"), [], { joined: true });
  undo.push(field("three"), [], { joined: true });
  const saved = [];
  let isFull = true;
  const app = { undo, t: (key) => key, say: () => {}, savesEnded: async () => {}, save: async ({ slot }) => !isFull
    && saved.push(slot) };
  const job = { id: "j", row: () => null, live: () => [] };
  app.job = async () => job;
  const answers = new Answers(app);
  await answers.undo(job);
  isFull = false; // what failed is tried again by the alarm; the others are still there
  await answers.undo(job);
  deepEqual(saved, ["two", "one"]);
  equal(undo.pop("j"), null);
});

/** A job whose answers can be taken back; `saves` writes what Undo writes. */
function undoable() {
  const [job, undo, said] = [new SheetsJob(), new UndoStack(), []];
  const written = ({ slot, kind, body }) => job.add(slot, kind, body).entries.at(-1);
  const app = {
    undo, t: (key, params) => [key, params?.by].join(" "), say: (text) => said.push(text), frame: () => {},
    savesEnded: async () => {}, job: async () => job,
    save: async (content, { undoes }) => {
      const entry = written(content);
      undo.undid(undoes, entry);
      return entry;
    },
  };
  const answer = (slot, value) => {
    const before = job.live(slot);
    undo.push(written({ slot, kind: "field-set", body: { value } }), before);
  };
  return { job, said, answer, undo: () => new Answers(app).undo(job) };
}

test("an answer that somebody else has given since is not written over, and it is said who gave it", async () => {
  const { job, said, answer, undo } = undoable();
  answer("vehicle.tyres", "right");
  answer("fit.left.line", "closed");
  job.set("fit.left.line", "opened");
  await undo();
  deepEqual([job.field("fit.left.line"), said], ["opened", ["on-sheet.undo.answered-since Tester"]]);
  await undo();
  equal(job.field("vehicle.tyres"), undefined, "it is off the stack: the answer before it is next");
});

test("nor where two people answered without knowing of each other", async () => {
  const { job, answer, undo } = undoable();
  answer("fit.left.line", "closed");
  job.set("fit.left.line", "opened", { concurrent: true });
  await undo();
  equal(job.live("fit.left.line").length, 2);
});

test("what was taken back leaves the answer before it to be taken back too", async () => {
  const { job, said, answer, undo } = undoable();
  for (const value of ["one", "two", "three"]) answer("vehicle.tyres", value);
  const values = [];
  for (let count = 0; count < 3; count += 1) {
    await undo();
    values.push(job.field("vehicle.tyres"));
  }
  deepEqual([values, said], [["two", "one", undefined], []]);
});

test("what was signed is not taken back by one tap", () => {
  const undo = new UndoStack();
  undo.push(field("one"), []);
  undo.push({ ...field("two"), job: "other" }, []);
  undo.push({ job: "j", kind: "job-signed", slot: "s", body: {} }, []);
  equal(undo.peek("j"), null);
  equal(undo.peek("other").entry.slot, "two");
});
