// A shop's server for the tests of sync, behind an injected fetch: it keeps entries, can go back in time and be hostile.
// It is a plain model of DEVELOPERS: Records and sync, not the product's server.

import { openPhone } from "/js/store/phone.js";
import { Sync } from "/js/sync/sync.js";
import { fieldSet, phoneParts } from "./store-parts.js";

const HEADERS = { "Content-Type": "application/json", "X-Tapermark": "1" };

export class SmallServer {
  entries = []; // in order of seq
  photos = new Map();
  ringSets = [];
  spread = null;
  tables = new Map();
  refuses = new Set(); // ids
  epoch = "00000000-0000-4000-8000-00000000000e";
  backedUp = 0; // how many entries the newest backup has
  time = "2026-03-02T09:00:00.000Z";
  newDevice = null;
  sent = 0; // entries that came by this phone's pairing
  token = "token-1";
  asked = []; // [method, path]
  /** (path, init) -> Response, an Error to reject with, or undefined to answer honestly. */
  meddle = () => undefined;

  fetch = async (path, init = {}) => {
    this.asked.push([init.method ?? "GET", path]);
    const meddled = await this.meddle(path, init);
    if (meddled instanceof Error) throw meddled;
    return meddled ?? this.answer(path, init);
  };

  answer(path, init) {
    if (path === "/api/session") {
      return json({ format: 1, csrf: this.token, shop: { name: "Ringworks", demo: true }, epoch: this.epoch, time: this.time, sent: this.sent });
    }
    if (init.method && init.headers["X-CSRFToken"] !== this.token) return problem(400, "csrf-failed");
    if (path === "/api/entries") return json(this.exchange(JSON.parse(init.body)));
    if (path === "/api/ring-sets?knows=trusted") return json({ format: 1, ring_sets: this.ringSets, spread: this.spread });
    if (path.startsWith("/api/tables/")) return new Response(this.tables.get(path.split("/").pop()), { headers: HEADERS });
    if (path.startsWith("/api/jobs")) return this.showJobs(new URL(path, "https://shop.invalid"));
    if (path.startsWith("/api/photos/")) return this.takePhoto(path.split("/").pop(), init.body);
    return problem(404, "not-found");
  }

  exchange({ device, since, entries }) {
    const results = entries.map((entry) => this.take(entry));
    const restart = since !== null && !(since.epoch === this.epoch && (this.entries[since.seq - 1]?.id ?? null) === since.id);
    const from = since === null || restart ? 0 : since.seq;
    const page = this.entries.slice(from, from + 500);
    const seq = from + page.length;
    const sent = new Set(entries.map((entry) => entry.id));
    return {
      results, restart, entries: page.filter((entry) => !sent.has(entry.id)),
      next: { epoch: this.epoch, seq, id: this.entries[seq - 1]?.id ?? null }, more: seq < this.entries.length,
      high_water: this.mark(device, this.entries), backed_up_through: this.mark(device, this.entries.slice(0, this.backedUp)),
      wanted_photos: this.wanted(), new_device: this.newDevice,
    };
  }

  take(entry) {
    if (this.refuses.has(entry.id)) return { id: entry.id, verdict: "refused", reason: "bad-field", text: "The entry is bad." };
    if (this.entries.some((held) => held.id === entry.id)) return { id: entry.id, verdict: "already" };
    this.entries.push(entry);
    return { id: entry.id, verdict: "accepted" };
  }

  mark(device, entries) {
    const held = new Set(entries.filter((entry) => entry.device === device).map((entry) => entry.n));
    let n = 0;
    while (held.has(n + 1)) n += 1;
    return n;
  }

  wanted() {
    const named = this.entries.filter((entry) => entry.kind === "photo-attached").map((entry) => entry.body.sha256);
    return [...new Set(named)].filter((sha256) => !this.photos.has(sha256));
  }

  showJobs({ pathname, searchParams }) {
    const id = /^\/api\/jobs\/(.+)\/entries$/.exec(pathname)?.[1];
    if (id) return json({ format: 1, job: id, entries: this.entries.filter(({ job }) => job === id) });
    const found = this.entries.filter(({ slot, body }) => slot === "vehicle.registration" && body.value === searchParams.get("registration"));
    return json({ format: 1, jobs: found.map(({ job }) => ({ id: job, state: "signed", registration: searchParams.get("registration"), vehicle: "", conflicts: 0, changed_ms: 0 })) });
  }

  takePhoto(sha256, bytes) {
    if (!this.wanted().includes(sha256) && !this.photos.has(sha256)) return problem(409, "photo-not-wanted");
    this.photos.set(sha256, bytes);
    return json({ format: 1, sha256, held: true }, 201);
  }
}

export function json(body, status = 200, headers = HEADERS) {
  return new Response(JSON.stringify(body), { status, headers });
}

export function problem(status, code) {
  return json({ error: { code, text: code, details: {} } }, status);
}

/** What startSync takes: no timer fires, and the page says nothing by itself. */
export function syncParts(server, clock) {
  return {
    fetch: server.fetch, now: () => clock.ms, locks: null, page: new EventTarget(),
    timers: { set: () => 0, clear: () => {} },
  };
}

/** A phone with `count` unsent entries, a server and a sync that has not run yet. */
export async function setting(count = 3, seed = 1, more = {}) {
  const parts = phoneParts({ seed, ...more });
  const phone = await openPhone(parts);
  const job = phone.newJob();
  const saved = [];
  for (let k = 0; k < count; k += 1) saved.push(await phone.save(fieldSet(job, `vehicle.field-${k}`, k)));
  const server = new SmallServer();
  return { parts, phone, job, saved, server, sync: () => run(phone, server, parts.clock) };
}

/** Syncs once; returns the state that the screen then shows. */
export async function run(phone, server, clock) {
  const sync = new Sync(phone, syncParts(server, clock));
  await sync.now();
  return sync.state;
}
