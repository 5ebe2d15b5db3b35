// The errors of the phone's storage. The screen shows `error.<code>`; values stay on the screen.

/** Storage did not do what was asked. Codes: store-cannot-open, store-blocked, store-newer, store-timeout, ... */
export class StoreError extends Error {
  name = "StoreError";

  constructor(code, cause = undefined, params = {}) {
    super(cause ? `${code}: ${cause.name}: ${cause.message}` : code, { cause });
    this.code = code;
    this.params = params;
  }
}

/** An entry was NOT saved. `content` is what the caller wanted to save, so that nothing typed is lost. */
export class SaveFailed extends StoreError {
  name = "SaveFailed";

  constructor(code, cause, content, params = {}) {
    super(code, cause, params);
    this.content = content;
  }
}

/** The code to show for any error; the browser's own errors carry numbers there, or nothing. */
export function codeOf(error) {
  return typeof error?.code === "string" ? error.code : "store-cannot-write";
}
