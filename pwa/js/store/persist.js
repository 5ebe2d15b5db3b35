// Asks the browser not to empty this phone's storage when room runs short. The answer is shown in the settings.

/** Resolves "persisted", "not-persisted" or "unknown" (a browser that cannot say, or whose question fails). */
export async function askPersistence(storageManager = globalThis.navigator?.storage) {
  try {
    if (!storageManager?.persist) return "unknown";
    return (await storageManager.persisted()) || (await storageManager.persist()) ? "persisted" : "not-persisted";
  } catch {
    return "unknown";
  }
}
