// Opens the database, within a time limit: on some phones the first open never answers. It runs no transaction.

import { StoreError } from "./store-error.js";
import { ENTRIES_SCHEMA } from "./upgrades.js";

/**
 * Opens the database and upgrades it step by step.
 * @param {{factory: IDBFactory, name: string, limitMs: number, onLost: (why: "closed"|"versionchange") => void,
 *   onCreated?: (transaction: IDBTransaction) => void, schema?: {version: number, upgrade: function}}} options
 *   `onLost` is told when the browser closes the connection or another tab wants a newer version; `onCreated` may put
 *   something into a database that is being made, in the same transaction.
 * @returns {Promise<IDBDatabase>} rejects StoreError store-cannot-open, store-blocked (another tab holds an older
 *   version open) or store-newer (this page is older than the data)
 */
export function openConnection({ factory, name, limitMs, onLost, onCreated = () => {}, schema = ENTRIES_SCHEMA }) {
  return new Promise((resolve, reject) => {
    let tooLate = false;
    let blocked = false;
    const timer = setTimeout(() => {
      tooLate = true;
      reject(new StoreError(blocked ? "store-blocked" : "store-cannot-open"));
    }, limitMs);
    const fail = (error) => {
      clearTimeout(timer);
      reject(new StoreError(error?.name === "VersionError" ? "store-newer" : "store-cannot-open", error));
    };
    let request;
    try {
      request = factory.open(name, schema.version);
    } catch (error) {
      fail(error);
      return;
    }
    request.onupgradeneeded = ({ oldVersion }) => {
      schema.upgrade(request.result, request.transaction, oldVersion);
      if (oldVersion === 0) onCreated(request.transaction);
    };
    request.onblocked = () => { blocked = true; };
    request.onerror = () => fail(request.error);
    request.onsuccess = () => {
      clearTimeout(timer);
      const connection = request.result;
      if (tooLate) {
        connection.close(); // left open it would block the next upgrade
        return;
      }
      connection.onclose = () => onLost("closed");
      connection.onversionchange = () => {
        connection.close();
        onLost("versionchange");
      };
      resolve(connection);
    };
  });
}
