// The harness tests itself: a check that cannot fail would prove nothing.

import { deepEqual, equal, fixture, near, ok, rejects, test, throws } from "./harness.js";

test("equal tells zero from minus zero and NaN from numbers", () => {
  equal(NaN, NaN);
  throws(() => checked(() => equal(0, -0)), /expected -0, got 0/);
});

test("deepEqual names the first path that differs", () => {
  deepEqual({ a: [1, { b: null }] }, { a: [1, { b: null }] });
  throws(() => checked(() => deepEqual({ a: [1, { b: 1 }] }, { a: [1, { b: 2 }] })), /differs at \.a\.1\.b/);
  throws(() => checked(() => deepEqual({ a: undefined }, {})), /differs at \.a/);
  throws(() => checked(() => deepEqual([], {})), /differs at the top/);
  throws(() => checked(() => deepEqual(new Uint8Array([1]).buffer, new Uint8Array([2]).buffer)), /differs at \.0/);
});

test("throws and rejects compare the fields of the error", async () => {
  const error = Object.assign(new Error("wrong"), { code: "x" });
  throws(() => { throw error; }, { code: "x" });
  await rejects(async () => { throw error; }, /wrong/);
  await rejects(Promise.reject(error), { message: "wrong" });
});

test("near and ok refuse what is not so", () => {
  near(1, 1.05, 0.1);
  throws(() => checked(() => near(1, NaN, 0.1)), /within/);
  throws(() => checked(() => ok("yes")), /expected true/);
});

test("the content security policy of the product is on", () => {
  throws(() => { document.body.innerHTML = "<b>x</b>"; }, /TrustedHTML/);
});

test("a missing fixture is an error", async () => {
  await rejects(fixture("none.json"), /status 404/);
});

/** Turns the harness's own failure into a plain error, which `throws` may then look at. */
function checked(body) {
  try {
    body();
  } catch (error) {
    throw new Error(error.message);
  }
}
