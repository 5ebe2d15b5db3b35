// What stands between this phone's storage and its loss: the browser's promise, a reserve on the disk, a log in order,
// second copies of what waits, and a witness that says what was there. It knows how safe what is stored is by now.

import { askPersistence, persistenceOf } from "./persist.js";
import { StorageLoss } from "./storage-loss.js";
import { StoreError } from "./store-error.js";
import { TornLog } from "./torn-log.js";
import { UnsentCopies } from "./unsent-copies.js";

/** For so long a disk that was found full is not tried again: to try it takes 12 MB for a moment. */
const FULL_MS = 5000;
/** The same of a single write, and for so long room that was seen is trusted. */
const NO_ROOM_MS = 1000;
const ROOM_MS = 100;
/** For so long the reserve is left lying, to see whether another program takes it. */
const SETTLE_MS = 300;
/** A new log takes 7 MB, and is worse than none when it is broken off. */
const PIECES_OF_LOG = 8;
/** One at a time, in all tabs: who writes, and who takes room only to see whether there is some. */
const TURN = "tapermark.disk";
/** So long a turn is waited for: a tab that the phone has put to sleep must not hold up what is typed in another. */
const TURN_MS = 5000;
/** So long the module of the reserve is waited for; a write does not wait for a network that hangs. */
const COMING_MS = 10_000;

export class StorageGuard {
  /** What the browser says of keeping this storage: "persisted", "not-persisted" or "unknown" (persist.js). */
  persistence = "unknown";
  /** The disk has no room left for the reserve (reserve.js). */
  isTight = false;
  /**
   * What this phone had stored and has no more, as {device, n, unsent, photos, restored} (storage-loss.js); or null.
   */
  lost = null;
  #database;
  #storageManager;
  #loss;
  #caches;
  #locks;
  #onChange;
  #restoring = null;
  #fullUntil = 0;
  #findingRoom = null;
  #held = null;
  #proven = { pieces: 0, until: 0 };

  /**
   * @param {{database: Database, localStorage: Storage, storageManager: StorageManager, caches: CacheStorage,
   *   locks: LockManager, freshId: function(): string, onChange: function()}} parts onChange: it stands otherwise than
   *   it did
   */
  constructor({ database, localStorage, storageManager, caches, locks, freshId, onChange }) {
    this.#database = database;
    this.#storageManager = storageManager;
    this.#onChange = onChange;
    this.#caches = caches;
    this.#locks = locks;
    this.copies = new UnsentCopies(localStorage);
    this.#loss = new StorageLoss({
      database, storage: localStorage, copies: this.copies, freshId, onFound: () => this.#found(this.#loss.look()),
    });
    database.tornLog = new TornLog(localStorage);
    this.#protect(database);
  }

  get isKept() {
    return this.persistence === "persisted";
  }

  /** Makes another database of this page write as the entries' own does, for the browser keeps one log for all. */
  protectOther = (database) => {
    const entries = this.#database;
    database.tornLog = {
      get isTorn() { return entries.tornLog.isTorn; },
      note: () => entries.tornLog.note(),
      mend: () => entries.beginNewLog(),
    };
    this.#protect(database);
  };

  /** Compares the database with what is known of it outside, before any write. Rejects where it does not open. */
  async look() {
    this.#learnPersistence(persistenceOf(this.#storageManager)); // not waited for: nothing may hold up the first look
    this.lost ??= await this.#loss.look();
  }

  /** Brings back, once, what only has a copy. */
  restore() {
    this.#restoring ??= this.#found(this.#loss.restore());
  }

  /** Asks the browser for its promise; it does no harm to ask again. Never rejects; may wait for the person. */
  async askToKeep() {
    await this.#learnPersistence(askPersistence(this.#storageManager));
    return this.isKept;
  }

  /** What the first save would wait for, before there is one. Never rejects. */
  async openReserve() {
    await (await this.#reserve())?.open();
  }

  /** Holds some room on the disk, for the day when there is no other. */
  async keepReserve() {
    const reserve = await this.#reserve();
    if (!reserve) return;
    // so it is at most starts: nothing is taken then, and no write has to wait
    if (await reserve.isWhole()) this.#learnTightness(false);
    else await this.#inTurn(async () => this.#learnTightness(!(await reserve.keep())));
  }

  /** Told how many entries the server has had from this phone. */
  async compareWithServer(sent) {
    this.lost ??= await this.#loss.compareWithServer(sent);
  }

  /** The person has read that jobs were lost. */
  async forgetLoss() {
    await this.#loss.forget();
    this.lost = null;
  }

  /**
   * Notes what is stored now; until the person has read of a loss, the trace of what was lost stays.
   * @param {{device: object|undefined, entries: number, photos: number}} trace as traceIn (outbox.js) gives it
   */
  async remember({ device, ...unsent }) {
    if (!this.lost && device && !this.#loss.remember(device, unsent)) await this.#found(this.#loss.look());
  }

  /** A loss is told as soon as it is known; one that cannot be looked up now is after the next start. */
  async #found(looking) {
    const lost = await looking.catch(() => null);
    if (!lost || this.lost) return;
    this.lost = lost;
    this.#onChange();
  }

  #protect(database) {
    database.withRoom = (bytes, write) => this.#inTurn(async () => {
      if (!(await this.#proveRoom(bytes))) throw new StoreError("store-full");
      return write();
    });
    // One answer for all who ask at once: a try of its own for each would fill a disk that has room for some
    database.findRoom = (isInside) => (isInside ? this.#findRoom()
      : (this.#findingRoom ??= this.#inTurn(() => this.#findRoom()).finally(() => { this.#findingRoom = null; })));
  }

  /** Room that is taken for a moment breaks a write off as well as if it were gone. `work` has to end by itself. */
  async #inTurn(work) {
    if (!this.#locks) return work();
    let hasBegun = false;
    const begin = () => {
      hasBegun = true;
      return work();
    };
    try {
      return await this.#locks.request(TURN, { signal: AbortSignal.timeout(TURN_MS) }, begin);
    } catch (error) {
      if (hasBegun) throw error;
      return work();
    }
  }

  /** Where there is no other room the reserve is it, once. */
  async #proveRoom(bytes) {
    const reserve = await this.#reserve();
    if (!reserve) return true;
    const pieces = 1 + Math.ceil(bytes / reserve.pieceBytes);
    const { pieces: proven, until } = this.#proven;
    if (performance.now() < until && (proven === 0 || pieces <= proven)) return proven > 0;
    const isRoom = (await reserve.hasRoomFor(pieces))
      || ((await this.#giveUp(reserve)) && (await reserve.hasRoomFor(pieces)));
    this.#proven = { pieces: isRoom ? pieces : 0, until: performance.now() + (isRoom ? ROOM_MS : NO_ROOM_MS) };
    return isRoom;
  }

  /** Gives the reserve up, and waits to see whether another program takes it. Resolves whether there was any. */
  async #giveUp(reserve) {
    this.#learnTightness(true);
    const wasThere = await reserve.release();
    if (wasThere) await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
    return wasThere;
  }

  /** The reserve is the room; without one the disk is tried for as much. A full disk is left alone for a while. */
  async #findRoom() {
    if (performance.now() < this.#fullUntil) return false;
    const reserve = await this.#reserve();
    let isRoom = !reserve || (await reserve.keep());
    if (reserve && isRoom) {
      await this.#giveUp(reserve);
      isRoom = await reserve.hasRoomFor(PIECES_OF_LOG);
    }
    if (!isRoom) this.#fullUntil = performance.now() + FULL_MS;
    this.#learnTightness(true);
    return isRoom;
  }

  /** Comes after the first screen, which does without; null where the program is not whole or the network hangs. */
  async #reserve() {
    if (this.#held) return this.#held;
    const coming = import("./reserve.js").then(({ Reserve }) => (this.#held = new Reserve(this.#caches)), () => null);
    return Promise.race([coming, new Promise((resolve) => setTimeout(resolve, COMING_MS, null))]);
  }

  #learnTightness(isTight) {
    if (this.isTight === isTight) return;
    this.isTight = isTight;
    this.#onChange();
  }

  async #learnPersistence(answer) {
    const wasKept = this.isKept;
    this.persistence = await answer;
    if (this.isKept !== wasKept) this.#onChange();
  }
}
