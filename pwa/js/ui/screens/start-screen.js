/** The jobs of this phone: open, waiting to be sent, done; and whether the phone can be trusted away from the network. */

import { element, fill } from "../parts/element.js";
import { InstallCard } from "./install-card.js";
import { jobCard } from "./job-card.js";
import { JobModel } from "../job-model.js";
import { PhoneStatus } from "./phone-status.js";

const GROUPS = ["open", "waiting", "done"];

export class StartScreen {
  #app;
  #status;
  #lists = element("div", { class: "stack wide" });
  #hint;
  #waits = false;

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.#status = new PhoneStatus(app);
    this.#hint = new InstallCard({ app, onLater: () => app.settings.set("install_hint", "later").then(() => this.#showHint()) });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("ui.start.title") }),
      this.#status.element,
      this.#lists,
      this.#hint.element,
      element("p", { class: "soft", text: t("ui.standing-line") }));
  }

  async update() {
    const { phone, checklist } = this.#app;
    const [kept] = await Promise.all([phone.jobs(), this.#status.update()]);
    const jobs = kept.map(({ job, entries, unsent }) => ({ model: new JobModel(job, entries, checklist), unsent, changed: lastChange(entries) }));
    jobs.sort((a, b) => b.changed - a.changed);
    fill(this.#lists, jobs.length === 0 && this.#none(), GROUPS.map((group) => this.#group(group, jobs.filter((job) => groupOf(job) === group))));
    this.#waits = kept.some(({ unsent }) => unsent > 0);
    this.#showHint();
  }

  /** Only where there is something to do about it, and until the person has had enough of it; unsent work says it again. */
  #showHint() {
    const { installing: { way }, settings } = this.#app;
    const isEnough = settings.get("install_hint") === "later" && !(way === "by-hand" && this.#waits);
    this.#hint.element.hidden = !["ask", "by-hand"].includes(way) || isEnough;
    this.#hint.update({ waits: this.#waits });
  }

  frame() {
    const { t, settings } = this.#app;
    return {
      name: t("ui.app-name"),
      place: settings.get("technician"),
      primary: { key: "new-job", label: t("ui.start.new-job"), press: () => this.#app.go({ screen: "new" }) },
      more: [{ key: "find-job", label: t("find.open"), press: () => this.#app.go({ screen: "find" }) }, { key: "settings", label: t("ui.start.settings"), press: () => this.#app.go({ screen: "settings" }) }],
    };
  }

  #group(group, jobs) {
    if (jobs.length === 0) return null;
    const { t } = this.#app;
    return element("section", { class: "stack", key: `jobs-${group}` },
      element("h2", { text: t(`ui.start.${group}`, { count: jobs.length }) }),
      jobs.map(({ model, unsent }) => jobCard({ t, job: model, unsent, onOpen: () => this.#app.go({ screen: "job", job: model.id }) })));
  }

  #none() {
    return element("p", { class: "big", text: this.#app.t("ui.start.none") });
  }
}

function groupOf({ model, unsent }) {
  if (model.fold.state === "open") return "open";
  return unsent > 0 ? "waiting" : "done";
}

/** Only for the order on this screen: a wrong clock changes nothing else. */
function lastChange(entries) {
  return Math.max(0, ...entries.map(({ at }) => Date.parse(at) || 0));
}
