/**
 * How Tapermark comes to the phone's home screen: by the browser's own question where it has one, by hand on iPhones
 * and iPads. It asks nothing by itself and draws nothing.
 */

export class Installing extends EventTarget {
  #page;
  #question = null; // the browser's, kept until the person asks for it
  #done = false;

  /** @param {Window} page */
  constructor(page = globalThis) {
    super();
    this.#page = page;
    page.addEventListener("beforeinstallprompt", (event) => {
      event.preventDefault();
      this.#changed(event, false);
    });
    page.addEventListener("appinstalled", () => this.#changed(null, true));
  }

  /** @returns {"installed"|"ask"|"by-hand"|"menu"} "menu": this browser offers it in its own menu, or not at all */
  get way() {
    const { matchMedia, navigator } = this.#page;
    if (this.#done || navigator.standalone === true || matchMedia.call(this.#page, "(display-mode: standalone)")
      .matches) return "installed";
    if (this.#question) return "ask";
    // an iPad says that it is a Mac, and has no Mac's lack of touch
    const isApple = /iPhone|iPad|iPod/.test(navigator.userAgent)
      || (navigator.platform === "MacIntel" && navigator.maxTouchPoints > 1);
    return isApple ? "by-hand" : "menu";
  }

  /** Shows the browser's question; it can be shown only once. */
  async ask() {
    const question = this.#question;
    this.#changed(null, this.#done);
    await question?.prompt();
  }

  /** Calls `listener()` after each change; returns the function that stops it. */
  onChange(listener) {
    this.addEventListener("change", listener);
    return () => this.removeEventListener("change", listener);
  }

  #changed(question, done) {
    this.#question = question;
    this.#done = done;
    this.dispatchEvent(new Event("change"));
  }
}
