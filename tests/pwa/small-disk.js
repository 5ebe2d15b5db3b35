// A disk of a few pieces under the caches of a page: it runs full as a real one does.

/**
 * `caches` stands for the page's own; `left` pieces are free, `taken` counts all that were ever put.
 * @param {number} pieces
 * @param {{putMs?: number, deleteMs?: number, onTake?: function(), onGone?: function(string, number): number}} [parts]
 *   onTake is told of each piece before it is taken; onGone(cache, left) of a cache whose last piece was given back,
 *   and says how many are left then
 */
export function smallDisk(pieces, { putMs = 0, deleteMs = 0, onTake = () => {}, onGone = (_name, left) => left } = {}) {
  const disk = { left: pieces, taken: 0 };
  const held = new Map();
  const rest = (ms) => ms > 0 && new Promise((resolve) => setTimeout(resolve, ms));
  disk.caches = { open: async (name) => {
    const names = held.get(name) ?? held.set(name, new Set()).get(name);
    return {
      keys: async () => [...names],
      put: async (address) => {
        onTake();
        await rest(putMs);
        if (disk.left <= 0) throw new DOMException("Unexpected internal error.", "UnknownError");
        disk.left -= 1;
        disk.taken += 1;
        names.add(address);
      },
      delete: async (address) => {
        await rest(deleteMs);
        if (!names.delete(address)) return false;
        disk.left += 1;
        if (names.size === 0) disk.left = onGone(name, disk.left);
        return true;
      },
    };
  } };
  return disk;
}
