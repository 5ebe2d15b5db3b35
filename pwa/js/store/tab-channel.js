// Tells every tab of this phone that something stored has changed. It carries names of jobs, never their content.

import { CHANNEL_NAME } from "./names.js";

export class TabChannel extends EventTarget {
  #channel;

  /** @param {BroadcastChannel|null} channel null where the browser has none: then each tab hears only itself */
  constructor(channel = globalThis.BroadcastChannel ? new BroadcastChannel(CHANNEL_NAME) : null) {
    super();
    this.#channel = channel;
    // an older tab names one job
    if (channel) channel.onmessage = ({ data: { jobs = [], cause } }) => this.#tell({ jobs, cause, elsewhere: true });
  }

  /** Tells this tab and the others. `jobs` is empty for what belongs to no job; `cause` is "saved" or "synced". */
  announce(jobs, cause) {
    this.#channel?.postMessage({ jobs, cause });
    this.#tell({ jobs, cause });
  }

  /**
   * Calls `listener({jobs, cause, elsewhere})` from now on, `elsewhere` true for what another tab did; the returned
   * function stops it.
   */
  listen(listener) {
    const heard = (event) => listener(event.detail);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  #tell(detail) {
    this.dispatchEvent(new CustomEvent("change", { detail }));
  }
}
