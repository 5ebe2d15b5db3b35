// Tells every tab of this phone that something stored has changed. It carries names of jobs, never their content.

import { CHANNEL_NAME } from "./names.js";

export class TabChannel extends EventTarget {
  #channel;

  /** @param {BroadcastChannel|null} channel null where the browser has none: then each tab hears only itself */
  constructor(channel = globalThis.BroadcastChannel ? new BroadcastChannel(CHANNEL_NAME) : null) {
    super();
    this.#channel = channel;
    if (channel) channel.onmessage = (event) => this.#tell(event.data);
  }

  /** Tells this tab and the others. `job` is null for what belongs to no job; `cause` is "saved" or "synced". */
  announce(job, cause) {
    this.#channel?.postMessage({ job, cause });
    this.#tell({ job, cause });
  }

  /** Calls `listener({job, cause})` from now on; the returned function stops it. */
  listen(listener) {
    const heard = (event) => listener(event.detail);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  #tell(detail) {
    this.dispatchEvent(new CustomEvent("change", { detail }));
  }
}
