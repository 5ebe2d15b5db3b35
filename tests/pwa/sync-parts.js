// A shop's server for the tests of sync, behind an injected fetch: it keeps entries, can go back in time and be
// hostile. It is a plain model of server/README: Records and sync, not the product's server.

import { fold } from "/js/domain/job/fold.js";
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
  requests = []; // bodies of POST /api/entries
  knowsLines = true;
  page = 500; // entries in one answer
  linesAPage = 2000;
  broughtAtOnce = Infinity; // jobs
  erased = new Set(); // ids
  #lines = new Map(); // job -> {at, changed_ms}
  #counted = 0; // entries that have moved a line
  #lineCounter = 0;
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
      return json({ format: 1, csrf: this.token, shop: { name: "Ringworks", demo: true }, epoch: this.epoch,
        time: this.time, sent: this.sent });
    }
    if (init.method && init.headers["X-CSRFToken"] !== this.token) return problem(400, "csrf-failed");
    if (path === "/api/entries") return json(this.exchange(JSON.parse(init.body)));
    if (path === "/api/ring-sets?knows=trusted")
      return json({ format: 1, ring_sets: this.ringSets, spread: this.spread });
    if (path.startsWith("/api/tables/"))
      return new Response(this.tables.get(path.split("/").pop()), { headers: HEADERS });
    if (path.startsWith("/api/jobs")) return this.showJobs(new URL(path, "https://shop.invalid"));
    if (path.startsWith("/api/photos/")) return this.takePhoto(path.split("/").pop(), init.body);
    return problem(404, "not-found");
  }

  exchange(request) {
    this.requests.push(request);
    const { device, since, entries } = request;
    const results = entries.map((entry) => this.take(entry));
    const restart = since !== null
      && !(since.epoch === this.epoch && (this.entries[since.seq - 1]?.id ?? null) === since.id);
    const from = since === null || restart ? 0 : since.seq;
    const sent = new Set(entries.map((entry) => entry.id));
    return {
      results, restart, ...(this.knowsLines && request.whole ? this.wholeJobs(request, from, restart, sent)
        : this.allJobs(from, sent)),
      high_water: this.mark(device, this.entries),
      backed_up_through: this.mark(device, this.entries.slice(0, this.backedUp)),
      wanted_photos: this.wanted(), new_device: this.newDevice,
    };
  }

  /** As an older server answers, without what it does not know. */
  allJobs(from, sent) {
    const page = this.entries.slice(from, from + this.page);
    const seq = from + page.length;
    return { entries: page.filter((entry) => !sent.has(entry.id)), next: this.placeAt(seq),
      more: seq < this.entries.length };
  }

  wholeJobs({ whole, bring, lines: asked }, from, restart, sent) {
    const rows = this.entries.map((entry, k) => ({ entry, seq: k + 1 }))
      .filter(({ entry }) => !this.erased.has(entry.id));
    const page = rows.filter(({ entry, seq }) => seq > from && whole.includes(entry.job));
    const isCut = page.length > this.page;
    const seq = isCut ? page[this.page - 1].seq : this.entries.length;
    const known = bring.filter((job) => rows.some((row) => row.entry.job === job && row.seq <= seq));
    const brought = known.slice(0, this.broughtAtOnce);
    const came = rows.filter((row) => row.seq <= seq
      && (brought.includes(row.entry.job) || (row.seq > from && whole.includes(row.entry.job))));
    const told = this.linesAfter(restart ? null : asked);
    return {
      entries: came.map(({ entry }) => entry).filter(({ id }) => !sent.has(id)),
      next: this.placeAt(seq), whole: brought,
      more: isCut || brought.length < known.length || told.more, lines: told.lines, lines_next: told.next,
      backed_up_seq: this.backedUp,
    };
  }

  placeAt(seq) {
    return { epoch: this.epoch, seq, id: this.entries[seq - 1]?.id ?? null };
  }

  linesAfter(asked) {
    this.countLines();
    const isOurs = asked !== null && asked.epoch === this.epoch && asked.at <= this.#lineCounter;
    const start = isOurs ? asked.at : 0;
    const behind = [...this.#lines].filter(([, { at }]) => at > start).sort(([, a], [, b]) => a.at - b.at);
    const lines = behind.slice(0, this.linesAPage).map(([job, line]) => this.lineOf(job, line));
    const more = behind.length > lines.length;
    return { lines, more, next: { epoch: this.epoch, at: more ? lines.at(-1).at : this.#lineCounter,
      from: isOurs ? asked.from : this.#lineCounter } };
  }

  lineOf(job, { at, changed_ms }) {
    const entries = this.entries.filter((entry) => entry.job === job && !this.erased.has(entry.id));
    const { slots, state } = folded(entries);
    const said = (slot) => textOf(slots[slot]?.at(-1)?.body?.value ?? "");
    return {
      job, at, changed_ms, state: entries.length === 0 ? "erased" : state, conflicts: 0,
      registration: said("vehicle.registration"),
      vehicle: said("vehicle.description"), last_seq: this.entries.findLastIndex((entry) => entry.job === job) + 1,
    };
  }

  /** Each entry that came moves the line of its job; so does erasing it. */
  countLines() {
    if (this.entries.length < this.#counted) {
      this.#lines.clear();
      [this.#counted, this.#lineCounter] = [0, 0];
    }
    const moved = new Set(this.entries.slice(this.#counted).map(({ job }) => job));
    this.#counted = this.entries.length;
    for (const job of moved) this.moveLine(job);
  }

  moveLine(job) {
    this.#lineCounter += 1;
    this.#lines.set(job, { at: this.#lineCounter, changed_ms: Date.parse(this.time) });
  }

  /** What the desk does. */
  erase(job) {
    this.countLines();
    for (const entry of this.entries) if (entry.job === job) this.erased.add(entry.id);
    this.moveLine(job);
  }

  take(entry) {
    if (this.refuses.has(entry.id))
      return { id: entry.id, verdict: "refused", reason: "bad-field", text: "The entry is bad." };
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
    const found = this.entries.filter(({ slot, body }) => slot === "vehicle.registration"
      && body.value === searchParams.get("registration"));
    return json({ format: 1, jobs: found.map(({ job }) =>
      ({ id: job, state: "signed", registration: searchParams.get("registration"), vehicle: "", conflicts: 0,
        changed_ms: 0 })) });
  }

  takePhoto(sha256, bytes) {
    if (!this.wanted().includes(sha256) && !this.photos.has(sha256)) return problem(409, "photo-not-wanted");
    this.photos.set(sha256, bytes);
    return json({ format: 1, sha256, held: true }, 201);
  }
}

function textOf(value) {
  return typeof value === "string" ? value : JSON.stringify(value);
}

/** A job that nobody can fold is open. */
function folded(entries) {
  try {
    return fold(entries);
  } catch {
    return { slots: {}, state: "open" };
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
