// Tells every tab of this phone that something stored has changed. It carries names of jobs, never their content.

import { CHANNEL_NAME } from "./names.js";

export class Changes extends EventTarget {
  #channel;

  /** @param {BroadcastChannel|null} channel null where the browser has none: then each tab hears only itself */
  constructor(channel = globalThis.BroadcastChannel ? new BroadcastChannel(CHANNEL_NAME) : null) {
    super();
    this.#channel = channel;
    if (channel) channel.onmessage = (event) => this.#tell(event.data);
  }

  /** Tells this tab and the others. `job` is null for what belongs to no job. */
  announce(job = null) {
    this.#channel?.postMessage({ job });
    this.#tell({ job });
  }

  /** Calls `listener({job})` from now on; the returned function stops it. */
  listen(listener) {
    const heard = (event) => listener(event.detail);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  #tell(detail) {
    this.dispatchEvent(new CustomEvent("change", { detail }));
  }
}
