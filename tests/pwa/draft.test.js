// What is half typed: written at every key, as few times as the store allows, and never lost between typing and
// dropping.

import { Draft } from "/js/ui/parts/draft.js";
import { deepEqual, equal, test } from "./harness.js";

/** A store that answers when it is let; `asked` are the calls in order. */
function slowStore() {
  const asked = [];
  const open = [];
  const answer = (call) => { asked.push(call); return new Promise((resolve, reject) => open.push({ resolve, reject }));
    };
  return {
    asked,
    let: async () => { open.shift().resolve(); await new Promise((resolve) => setTimeout(resolve)); },
    fail: async () => { open.shift().reject(new Error("full")); await new Promise((resolve) => setTimeout(resolve)); },
    draft: async () => undefined,
    saveDraft: (key, typed) => answer(["save", typed]),
    dropDraft: () => answer(["drop"]),
  };
}

let number = 0;
const fresh = (store) => new Draft(store, `test-${number += 1}`);

const rest = () => new Promise((resolve) => setTimeout(resolve, 450));
const turn = () => new Promise((resolve) => setTimeout(resolve));

test("keys that follow each other are written once, when the typing rests", async () => {
  const store = slowStore();
  const draft = fresh(store);
  for (const typed of ["1", "1.", "1.6", "1.64"]) draft.write(typed);
  await rest();
  deepEqual(store.asked, [["save", "1.64"]]);
  draft.write("1.645");
  draft.flush();
  draft.write("1.6");
  draft.flush();
  await store.let();
  await store.let();
  deepEqual(store.asked.slice(1), [["save", "1.6"]], "what came while one was written, the last of it");
});

test("what is kept before the typing rests never reaches the store", async () => {
  const store = slowStore();
  const draft = fresh(store);
  equal(await draft.read(), null);
  draft.write("1.64");
  await draft.drop();
  await rest();
  deepEqual(store.asked, []);
  equal(await draft.read(), null);
});

test("while the store has not answered, what was typed last is read from the mirror", async () => {
  const store = slowStore();
  const draft = fresh(store);
  draft.write("1.6");
  equal(await fresh(store).read(), null, "of its own key alone");
  equal(await draft.read(), "1.6");
  draft.flush();
  await store.let();
  equal(await draft.read(), null, "the store holds it");
});

test("a store that fails leaves it in the mirror", async () => {
  const store = slowStore();
  const draft = fresh(store);
  draft.write("1");
  draft.flush();
  await store.fail();
  equal(await draft.read(), "1");
  const dropped = draft.drop();
  await turn();
  await store.let();
  await dropped;
  equal(await draft.read(), null);
});

test("what is typed anew while the draft is dropped stays", async () => {
  const store = slowStore();
  const draft = fresh(store);
  draft.write("1");
  draft.flush();
  const dropped = draft.drop();
  draft.write("2");
  await store.let();
  await store.let();
  await dropped;
  deepEqual(store.asked, [["save", "1"], ["save", "2"]]);
});

test("the program's way to the background writes what rests", async () => {
  const store = slowStore();
  const draft = fresh(store);
  draft.write("1.6");
  dispatchEvent(new Event("pagehide"));
  deepEqual(store.asked, [["save", "1.6"]]);
  await store.let();
});
