/**
 * The jobs of this phone, and lines of the shop's others: open, waiting to be sent, done; and whether the phone can be
 * trusted away from the network.
 */

import { isOneOf, PEOPLE } from "../../domain/job/people.js";
import { dueOf } from "../../domain/job/rechecks.js";
import { afterPaint } from "../parts/after-paint.js";
import { button, element, fill } from "../parts/element.js";
import { InstallCard } from "./install-card.js";
import { stateShape } from "../parts/state-shape.js";
import { rowTitle, sheetTitle } from "../words/titles.js";
import { PhoneStatus } from "./phone-status.js";

const GROUPS = ["open", "waiting", "done"];
const STATE_SHAPES = { open: "open", stopped: "stopped", signed: "done" };
/** Jobs summed up while the list waits for them, and at a time once it stands. */
const AT_ONCE = 20;
const MEANWHILE = 80;
/** Cards of a group at first, and how many a tap adds: a thousand take a second to draw. */
const CARDS = 30;
/** Cards of a group before the list is painted: more than a phone's height. The others follow it. */
const SEEN = 8;

/** What reads what the shop told, and draws it, comes with the rest of the program: no drawing waits for it. */
let lineCards = null;

export class StartScreen {
  #app;
  #status;
  #lists = element("div", { class: "stack wide" });
  #hint;
  #waits = false;
  #next;
  #isReading = false;
  #isPainted = false;
  #cards = Object.fromEntries(GROUPS.map((group) => [group, CARDS]));

  constructor(app) {
    this.#app = app;
    const { t, checklist } = app;
    this.#next = { by: fingerprint(checklist), bring: async () => (await import("./next-row.js"))
      .nextRowIn(checklist) };
    this.#status = new PhoneStatus(app);
    this.#hint = new InstallCard({ app, onLater: () => app.settings.set("install_hint", "later")
      .then(() => this.#showHint()) });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("ui.start.title") }),
      this.#status.element,
      this.#lists,
      this.#hint.element,
      element("p", { class: "soft", text: t("ui.standing-line") }));
  }

  async update() {
    const { phone, settings } = this.#app;
    const [all, told] = await Promise.all([phone.jobs({ most: AT_ONCE, next: this.#next }), this.#told(),
      this.#status.update(), settings.renew(PEOPLE).catch(() => {})]);
    const jobs = all.filter(({ isPart, unsent }) => !isPart || unsent > 0);
    const here = new Set(jobs.map(({ job }) => job));
    const lines = (told?.lines ?? []).filter(({ job }) => !here.has(job))
      .map((line) => ({ ...line, isLine: true, unsent: 0 }));
    const byChange = (a, b) => b.changed_ms - a.changed_ms;
    // lines come later: nothing may move under a finger
    const known = [...jobs.filter(({ state }) => state).sort(byChange), ...lines.sort(byChange)];
    fill(this.#lists,
      this.#whoWorks(),
      jobs.length + lines.length === 0 && this.#none(),
      this.#rechecks(all, told?.rechecks),
      known.length < jobs.length + lines.length
        && element("p", { class: "soft", key: "jobs-read",
          text: this.#app.t("ui.start.reading", { count: jobs.length + lines.length - known.length }) }),
      lines.length > 0 && lineCards.linesAge({ ...this.#app, cursor: told.cursor }),
      GROUPS.map((group) => this.#group(group, known.filter((job) => groupOf(job) === group))));
    this.#isPainted = true;
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
        left = (await this.#app.phone.jobs({ most: MEANWHILE, next: this.#next }))
          .filter(({ isStale }) => isStale).length;
        this.#app.renderSoon();
      } while (this.element.isConnected && left > 0 && left < before); // on a full phone no summary can be kept
    } finally {
      this.#isReading = false;
    }
  }

  /** Only where there is something to do, and until the person has had enough; unsent work says it again. */
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
      primary: { key: "new-job", label: t("ui.start.new-job"), press: () => this.#app.startJob() },
      aside: { key: "find-pair", label: t("ui.start.find-pair"), press: () => this.#app.go({ screen: "find-pair" }) },
      more: [{ key: "find-job", label: t("ui.find-job"), press: () => this.#app.go({ screen: "find" }) },
        { key: "settings", label: t("ui.start.settings"), press: () => this.#app.go({ screen: "settings" }) }],
    };
  }

  #group(group, jobs) {
    if (jobs.length === 0) return null;
    const { t } = this.#app;
    const more = jobs.length - this.#cards[group];
    const shown = jobs.slice(0, this.#cards[group]);
    const later = this.#isPainted ? [] : shown.splice(SEEN);
    const cards = shown.map((each) => this.#card(each));
    const section = element("section", { class: "stack", key: `jobs-${group}` },
      element("h2", { text: t(`ui.start.${group}`, { count: jobs.length }) }), cards,
      more > 0 && button({ key: `more-${group}`, label: t("ui.start.more", { count: Math.min(more, CARDS) }),
        onPress: () => this.#showMore(group) }));
    if (later.length > 0) afterPaint(() => cards.at(-1).after(...later.map((each) => this.#card(each))));
    return section;
  }

  #card(job) {
    const { t } = this.#app;
    const onOpen = () => this.#app.go({ screen: "sheet", job: job.job });
    return job.isLine ? lineCards.lineCard({ t, line: job, onOpen }) : jobCard({ t, summary: job, onOpen });
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
    return !isOneOf(settings.get(PEOPLE), name)
      && button({ key: "choose-name", label: t("ui.name.not-one", { name }),
        onPress: () => this.#app.go({ screen: "name" }) });
  }

  /** @returns {Promise<{lines, rechecks: {rechecks, more}|null, cursor}|null>} null where none can be read yet */
  async #told() {
    const { phone } = this.#app;
    const reading = Promise.all([import("./line-cards.js"), phone.lines()]).then(async ([cards, told]) => {
      lineCards = cards;
      const [lines, rechecks, cursor] =
        await Promise.all([told.jobs.all(), told.list("rechecks"), phone.syncStore.cursor()]);
      return { lines, rechecks, cursor };
    });
    if (lineCards) return reading.catch(() => null);
    reading.then(() => this.#app.render(), () => {});
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

/**
 * One job in the list: the vehicle in big letters, its state in words and a shape, what waits to be sent.
 * @param {{t: function, summary: Object, onOpen: function(): void}} options summary: of phone.jobs, `next` by
 *   next-row.js
 * @returns {HTMLElement} one large button
 */
function jobCard({ t, summary, onOpen }) {
  const { job, state, registration, description, next, unsent } = summary;
  return element("button", { type: "button", class: "button job-card", key: `job-${job}`, on: { click: onOpen } },
    element("span", { class: "job-registration", text: registration || t("ui.job.no-registration") }),
    description && element("span", { class: "job-description", text: description }),
    element("span", { class: "with-shape" }, stateShape(STATE_SHAPES[state]),
      element("span", { text: stateWords(t, summary) })),
    next && element("span", { class: "soft",
      text: t("ui.job.next", { stage: sheetTitle(t, next.sheet), step: rowTitle(t, next) }) }),
    unsent > 0 && element("span", { class: "with-shape" }, stateShape("waiting"),
      element("span", { text: t("ui.unsent.job", { count: unsent }) })));
}

/** @returns {string} open, stopped with its reason, or signed */
function stateWords(t, { state, stop_reason: reason }) {
  if (state !== "stopped") return t(`ui.state.${state}`);
  const key = `option.stop-reason.${reason}`;
  return t("ui.state.stopped-because", { reason: t.has(key) ? t(key) : reason });
}
