// Who this phone is: its device id and the counter of its entries. Both live and change inside transactions only.

import { STATE_KEY, STORE } from "./names.js";

/** Reads the device inside a transaction on STATE; `freshId` names it if this phone has no name yet. */
export async function deviceIn(transaction, freshId) {
  return (await transaction.get(STORE.STATE, STATE_KEY.DEVICE)) ??
    { key: STATE_KEY.DEVICE, id: freshId, n: 0, former: [] };
}

/** Counts one more entry of the device, in the transaction that it was read in. Returns the entry's number. */
export function countOn(transaction, device) {
  const n = device.n + 1;
  transaction.put(STORE.STATE, { ...device, n });
  return n;
}

/**
 * Raises the counter to what the server already holds of this device. {device, n} if the phone was behind: it has
 * lost its latest entries (an older copy of its storage came back), and must not give their numbers a second time.
 */
export async function catchUp(transaction, id, highWater) {
  const device = await deviceIn(transaction, id);
  if (device.id !== id || highWater <= device.n) return null;
  transaction.put(STORE.STATE, { ...device, n: highWater });
  return { device: id, n: highWater };
}

/** Gives this phone another id: the server found that a copy of it is at work under the old one. */
export async function renameDevice(transaction, newId) {
  const device = await deviceIn(transaction, newId);
  if (device.id === newId) return;
  transaction.put(STORE.STATE, { ...device, id: newId, n: 0, former: [...device.former, device.id] });
}
