// Whether the browser has promised not to clear this phone's storage when room runs short. Without the promise a full
// disk may cost everything at once: jobs, photos and the program (measured in tests/bench/bench_full_disk.py).

/** What it says: "persisted", "not-persisted" or "unknown" (it cannot say, or fails). Asks nobody. */
export function persistenceOf(storageManager) {
  return answerOf(storageManager, () => storageManager.persisted());
}

/** Asks it for the promise. Some browsers then ask the person, which may take long: no save waits for it. */
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
