// Registers and runs the JavaScript tests of one module inside a browser page.
// It knows nothing of Tapermark and never stops at the first failure.

/** Longest time that one test may take; a test that hangs is named instead of stopping the run. */
const TEST_LIMIT_MS = 30_000;

const tests = [];
const uncaught = [];

addEventListener("error", (event) => uncaught.push(String(event.error?.stack ?? event.message)));
addEventListener("unhandledrejection", (event) => uncaught.push(String(event.reason?.stack ?? event.reason)));

class Unequal extends Error {
  name = "Unequal";
}

/** Registers a test: `body` may be async, and fails by throwing. */
export function test(name, body) {
  tests.push({ name, body });
}

/** Throws unless `actual` is exactly `expected` (Object.is). */
export function equal(actual, expected, note = "") {
  if (!Object.is(actual, expected)) {
    throw new Unequal(`${label(note)}expected ${shown(expected)}, got ${shown(actual)}`);
  }
}

/** Throws unless the condition is true itself. */
export function ok(condition, note = "the condition") {
  if (condition !== true) throw new Unequal(`${note}: expected true, got ${shown(condition)}`);
}

/** Throws unless the two are alike in structure; the text names the first path that differs. */
export function deepEqual(actual, expected, note = "") {
  const path = firstDifference(actual, expected, "");
  if (path !== null) {
    throw new Unequal(`${label(note)}differs at ${path || "the top"}:\n` +
      `  expected ${shown(at(expected, path))}\n  got      ${shown(at(actual, path))}`);
  }
}

/** Throws unless |actual - expected| is at most `tolerance`. */
export function near(actual, expected, tolerance, note = "") {
  if (!(Math.abs(actual - expected) <= tolerance)) {
    throw new Unequal(`${label(note)}expected ${expected} within ${tolerance}, got ${shown(actual)}`);
  }
}

/** Throws unless `body()` throws; `expected` is a RegExp for its text or the fields that it must carry. */
export function throws(body, expected = {}) {
  let result;
  try {
    result = body();
  } catch (error) {
    return checkError(error, expected);
  }
  throw new Unequal(`expected an error, got ${shown(result)}`);
}

/** Like `throws`, for a promise or an async function. */
export async function rejects(promiseOrBody, expected = {}) {
  let result;
  try {
    result = await (typeof promiseOrBody === "function" ? promiseOrBody() : promiseOrBody);
  } catch (error) {
    return checkError(error, expected);
  }
  throw new Unequal(`expected a rejection, got ${shown(result)}`);
}

/** Reads a JSON file of fixtures/: `await fixture("golden/fold.json")`. */
export async function fixture(path) {
  const answer = await fetch(`/fixtures/${path}`);
  if (!answer.ok) throw new Error(`fixtures/${path}: expected the file, got status ${answer.status}`);
  return answer.json();
}

/** Runs what was registered. Returns `{count, failures: [{name, text}]}`; test_javascript.py reads it. */
export async function run() {
  const failures = [];
  for (const { name, body } of tests) {
    try {
      await limited(body);
    } catch (error) {
      failures.push({ name, text: error?.stack ?? String(error) });
    }
    await settled();
    for (const text of uncaught.splice(0)) failures.push({ name, text: `not caught by anybody: ${text}` });
  }
  return { count: tests.length, failures };
}

function limited(body) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`not finished after ${TEST_LIMIT_MS} ms`)), TEST_LIMIT_MS);
  });
  return Promise.race([Promise.resolve().then(body), late]).finally(() => clearTimeout(timer));
}

/** Chromium reports an unhandled rejection some turns of the event loop later: one turn (0 ms) is too early. */
function settled() {
  return new Promise((resolve) => setTimeout(resolve, 6));
}

function checkError(error, expected) {
  if (error instanceof Unequal) throw error;
  if (expected instanceof RegExp) {
    if (!expected.test(String(error?.message))) {
      throw new Unequal(`expected an error like ${expected}, got ${shown(error)}`);
    }
    return error;
  }
  for (const [field, wanted] of Object.entries(expected)) deepEqual(error?.[field], wanted, `error.${field}`);
  return error;
}

function firstDifference(a, b, path) {
  if (Object.is(a, b)) return null;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return path;
  if (Object.getPrototypeOf(a) !== Object.getPrototypeOf(b)) return path;
  if (a instanceof ArrayBuffer) return firstDifference(new Uint8Array(a), new Uint8Array(b), path);
  if (a instanceof Map || a instanceof Set) return firstDifference([...a], [...b], path);
  if (a instanceof Date) return a.getTime() === b.getTime() ? null : path;
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  for (const name of names) {
    const deeper = `${path}.${name}`;
    if (!(name in a) || !(name in b)) return deeper;
    const found = firstDifference(a[name], b[name], deeper);
    if (found !== null) return found;
  }
  return null;
}

function at(whole, path) {
  return path.split(".").slice(1).reduce((part, name) => part?.[name], whole);
}

function shown(value) {
  if (value instanceof Error) return `${value.name}: ${value.message}`;
  if (typeof value === "function" || typeof value === "symbol" || typeof value === "bigint") return String(value);
  if (Object.is(value, -0)) return "-0";
  const text = typeof value === "number" ? String(value) : JSON.stringify(value) ?? String(value);
  return text.length > 600 ? `${text.slice(0, 600)}…` : text;
}

function label(note) {
  return note ? `${note}: ` : "";
}
