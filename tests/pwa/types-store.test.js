// The shop's vehicle types on the phone: fetched where they are others, kept type by type, and those that this phone
// proposed itself.

import { deepEqual, equal, test } from "./harness.js";
import { json, setting as settingOf } from "./sync-parts.js";

/** The list is asked for now and then, not at each sync. */
const LATER_MS = 300_001;

async function setting(count) {
  const made = await settingOf(count);
  const sync = () => { made.parts.clock.ms += LATER_MS; return made.sync(); };
  return { ...made, sync };
}

const named = (model) => ({ make: "Marrow", model, years: [null, null], axle: "rear",
  parts: { "fact/vehicle.sensor": "none" } });
const accepted = (id, revision, model) => ({ id, revision, state: "accepted", type: named(model) });

/** A server that has types, with an ETag by content. */
function withTypes(server, types) {
  const tag = `W/"${JSON.stringify(types).length}-${types.map(({ id, revision }) => id + revision).join()}"`;
  const asked = [];
  server.meddle = (path, init) => {
    if (path !== "/api/types") return undefined;
    asked.push(init.headers?.["If-None-Match"] ?? null);
    if (asked.at(-1) === tag) return new Response(null, { status: 304, headers: { "X-Tapermark": "1", "ETag": tag } });
    return json({ format: 1, check_months: 9, types }, 200,
      { "Content-Type": "application/json", "X-Tapermark": "1", "ETag": tag });
  };
  return asked;
}

const models = async (phone) => (await phone.typeRows()).map(({ model }) => model);

test("types come with the sync, and once they are here only their tag is asked", async () => {
  const { phone, server, sync } = await setting(1);
  const asked = withTypes(server, [accepted("a", 1, "Vale"), accepted("b", 1, "Hill")]);
  equal((await sync()).status, "idle");
  deepEqual(await models(phone), ["Vale", "Hill"]);
  const { months, type } = await phone.typeNow({ type: "a", revision: 1 });
  deepEqual([months, type.model], [9, "Vale"]);
  equal((await sync()).status, "idle");
  deepEqual([asked.length, asked[0], typeof asked[1]], [2, null, "string"]);
  deepEqual(await models(phone), ["Vale", "Hill"]);
});

test("a new revision takes the place of the older one, what is gone goes, what was merged leads on", async () => {
  const { phone, server, sync } = await setting(1);
  withTypes(server, [accepted("a", 1, "Vale"), accepted("b", 1, "Hill"), accepted("c", 1, "Moor")]);
  await sync();
  withTypes(server, [accepted("a", 2, "Vale II"), { id: "b", revision: 2, state: "merged", merged_into: "a" }]);
  await sync();
  deepEqual((await models(phone)).filter(Boolean), ["Vale II"]);
  const now = await phone.typeNow({ type: "b", revision: 1 });
  deepEqual([now.id, now.revision, now.type.model], ["a", 2, "Vale II"]);
  equal((await phone.typeNow({ type: "c", revision: 1 })).state, "unknown");
});

test("an older server has no types, and that is no trouble", async () => {
  const { phone, sync } = await setting(1);
  equal((await sync()).status, "idle");
  deepEqual(await models(phone), []);
});

test("a type that this phone proposed is here at once and stays until the server has its job", async () => {
  const { phone, job, server, sync } = await setting(1);
  await phone.keepOwnType({ id: "e1", job, type: named("Own") });
  deepEqual(await models(phone), ["Own"]);
  const { state, revision, type } = await phone.typeNow({ type: "e1", revision: 0 });
  deepEqual([state, revision, type.model], ["unchecked", 0, "Own"]);
  withTypes(server, [{ id: "e1", revision: 0, state: "unchecked", job, base: null, type: named("Own") }]);
  await sync();
  deepEqual(await models(phone), ["Own"], "once, and by the server");
  withTypes(server, []);
  await sync();
  deepEqual(await models(phone), [], "refused at the desk");
});

test("the proposal of one job that a lead has accepted is the accepted type of that make and model", async () => {
  const { phone, server, sync } = await setting(1);
  withTypes(server, [accepted("a", 1, "Vale")]);
  await sync();
  const now = await phone.typeNow({ type: "gone", revision: 0, make: "MARROW", model: "vale" });
  deepEqual([now.id, now.state], ["a", "accepted"]);
});

test("two phones that propose one type: each offers both until a lead has decided", async () => {
  const { phone, server, sync } = await setting(1);
  const two = ["e1", "e2"].map((id) =>
    ({ id, revision: 0, state: "unchecked", job: `j-${id}`, base: null, type: named("Vale") }));
  withTypes(server, two);
  await sync();
  deepEqual((await phone.typeRows()).map(({ id, state }) => [id, state]), [["e1", "unchecked"], ["e2", "unchecked"]]);
  withTypes(server, [accepted("a", 1, "Vale")]);
  await sync();
  deepEqual((await phone.typeRows()).map(({ id, state }) => [id, state]), [["a", "accepted"]]);
});
