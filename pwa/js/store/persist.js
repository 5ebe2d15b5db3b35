// Whether the browser has promised not to clear this phone's storage when room runs short. Without the promise a full disk
// may cost everything at once: jobs, photos and the program (measured in tests/bench/bench_full_disk.py).

/** What it says: "persisted", "not-persisted" or "unknown" (a browser that cannot say, or whose answer fails). Asks nobody. */
export function persistenceOf(storageManager) {
  return answerOf(storageManager, () => storageManager.persisted());
}

/** Asks it for the promise. Some browsers ask the person then, and the answer may be long in coming: never wait for it to save. */
export function askPersistence(storageManager) {
  return answerOf(storageManager, async () => (await storageManager.persisted()) || storageManager.persist());
}

async function answerOf(storageManager, ask) {
  try {
    if (!storageManager?.persist) return "unknown";
    return (await ask()) ? "persisted" : "not-persisted";
  } catch {
    return "unknown";
  }
}
