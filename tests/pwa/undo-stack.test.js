// What is taken back together stays takeable back where its saving fails half-way.

import { takeBack } from "/js/ui/taken-back.js";
import { UndoStack } from "/js/ui/undo-stack.js";
import { deepEqual, equal, test } from "./harness.js";

const field = (slot) => ({ job: "j", kind: "field-set", slot, body: { value: null } });

test("one answer of several entries that could not be taken back whole is taken back by the next press", async () => {
  const undo = new UndoStack();
  undo.push(field("one"), []);
  undo.push(field("two"), [], { joined: true });
  undo.push(field("three"), [], { joined: true });
  const saved = [];
  let isFull = true;
  const app = { undo, t: (key) => key, say: () => {}, save: async ({ slot }) => !isFull && saved.push(slot) };
  const job = { step: () => null, steps: [] };
  await takeBack(app, job, undo.pop("j"));
  isFull = false; // what failed is tried again by the alarm; the others are still there
  await takeBack(app, job, undo.pop("j"));
  deepEqual(saved, ["two", "one"]);
  equal(undo.pop("j"), null);
});
