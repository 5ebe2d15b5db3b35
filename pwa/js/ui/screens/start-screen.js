/** The jobs of this phone: open, waiting to be sent, done; and whether the phone can be trusted away from the network. */

import { isOneOf, PEOPLE } from "../../domain/job/people.js";
import { dueOf } from "../../domain/job/rechecks.js";
import { button, element, fill } from "../parts/element.js";
import { InstallCard } from "./install-card.js";
import { jobCard } from "./job-card.js";
import { PhoneStatus } from "./phone-status.js";

const GROUPS = ["open", "waiting", "done"];
/** Jobs summed up while the list waits for them, and at a time once it stands. */
const AT_ONCE = 20;
const MEANWHILE = 80;
/** Cards of a group at first, and how many a tap adds: a thousand take a second to draw. */
const CARDS = 30;

/** What reads the shop's lists comes with the rest of the program: no drawing waits for it. */
let canReadLists = false;

export class StartScreen {
  #app;
  #status;
  #lists = element("div", { class: "stack wide" });
  #hint;
  #waits = false;
  #next;
  #isReading = false;
  #cards = Object.fromEntries(GROUPS.map((group) => [group, CARDS]));

  constructor(app) {
    this.#app = app;
    const { t, checklist } = app;
    this.#next = { by: fingerprint(checklist), bring: async () => (await import("./next-row.js")).nextRowIn(checklist) };
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
    const { phone, settings } = this.#app;
    const [jobs, told] = await Promise.all([phone.jobs({ most: AT_ONCE, next: this.#next }), this.#toldRechecks(), this.#status.update(), settings.renew(PEOPLE).catch(() => {})]);
    const known = jobs.filter(({ state }) => state).sort((a, b) => b.changed_ms - a.changed_ms);
    fill(this.#lists,
      this.#whoWorks(),
      jobs.length === 0 && this.#none(),
      this.#rechecks(jobs, told),
      known.length < jobs.length && element("p", { class: "soft", key: "jobs-read", text: this.#app.t("ui.start.reading", { count: jobs.length - known.length }) }),
      GROUPS.map((group) => this.#group(group, known.filter((job) => groupOf(job) === group))));
    this.#waits = jobs.some(({ unsent }) => unsent > 0);
    this.#showHint();
    if (jobs.some(({ isStale }) => isStale)) this.#readOn();
  }

  /** Sums up what is still stale, some jobs at a time while this screen is open, and shows them now and then. */
  async #readOn() {
    if (this.#isReading) return;
    this.#isReading = true;
    let [left, before] = [Infinity, Infinity];
    try {
      do {
        before = left;
        left = (await this.#app.phone.jobs({ most: MEANWHILE, next: this.#next })).filter(({ isStale }) => isStale).length;
        this.#app.renderSoon();
      } while (this.element.isConnected && left > 0 && left < before); // on a full phone no summary can be kept
    } finally {
      this.#isReading = false;
    }
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
      aside: { key: "find-pair", label: t("ui.start.find-pair"), press: () => this.#app.go({ screen: "find-pair" }) },
      more: [{ key: "find-job", label: t("find.open"), press: () => this.#app.go({ screen: "find" }) }, { key: "settings", label: t("ui.start.settings"), press: () => this.#app.go({ screen: "settings" }) }],
    };
  }

  #group(group, jobs) {
    if (jobs.length === 0) return null;
    const { t } = this.#app;
    const more = jobs.length - this.#cards[group];
    return element("section", { class: "stack", key: `jobs-${group}` },
      element("h2", { text: t(`ui.start.${group}`, { count: jobs.length }) }),
      jobs.slice(0, this.#cards[group]).map((summary) => jobCard({ t, summary, onOpen: () => this.#app.go({ screen: "sheet", job: summary.job }) })),
      more > 0 && button({ key: `more-${group}`, label: t("ui.start.more", { count: Math.min(more, CARDS) }), onPress: () => this.#showMore(group) }));
  }

  /** The focus goes to the first card that is new. */
  async #showMore(group) {
    const shown = this.#cards[group];
    this.#cards[group] += CARDS;
    await this.#app.render();
    this.element.querySelectorAll(`[data-key="jobs-${group}"] .job-card`)[shown]?.focus();
  }

  /** A name that was typed before the shop told its people, or of somebody who is no longer one of them. */
  #whoWorks() {
    const { t, settings } = this.#app;
    const name = settings.get("technician");
    return !isOneOf(settings.get(PEOPLE), name) && button({ key: "choose-name", label: t("ui.name.not-one", { name }), onPress: () => this.#app.go({ screen: "name" }) });
  }

  /** @returns {Promise<{rechecks: object[], more: boolean}|null>} null where the shop has told none, or none can be read yet */
  async #toldRechecks() {
    const { phone, sync } = this.#app;
    if (!sync) return null;
    const reading = phone.lines().then((lines) => lines.list("rechecks"));
    if (canReadLists) return reading.catch(() => null);
    reading.then(() => { canReadLists = true; this.#app.renderSoon(); }, () => {});
    return null;
  }

  #rechecks(jobs, told) {
    const { t } = this.#app;
    const count = dueOf(jobs, told?.rechecks ?? []).length;
    const label = told?.more ? t("ui.start.rechecks-more", { count }) : t("ui.start.rechecks", { count });
    return count > 0 && button({ key: "rechecks", label, onPress: () => this.#app.go({ screen: "rechecks" }) });
  }

  #none() {
    return element("p", { class: "big", text: this.#app.t("ui.start.none") });
  }
}

function groupOf({ state, unsent }) {
  if (state === "open") return "open";
  return unsent > 0 ? "waiting" : "done";
}

/** Another checklist, as a later program brings, has other rows: the kept ones are then found again. */
function fingerprint(checklist) {
  let sum = 0;
  for (const character of JSON.stringify(checklist)) sum = (Math.imul(sum, 31) + character.charCodeAt(0)) | 0;
  return String(sum);
}
