/** The hub bolts of this axle, typed once: where they sit, thread, class, how far they are screwed in, and into what. */

import { axleNotes } from "../../../domain/job/axle-notes.js";
import { boltsFrom, CLASSES, THREADS } from "../../../domain/job/hub-bolts.js";
import { keptJobs } from "../../kept-jobs.js";
import { axleNotesCard } from "./axle-notes-card.js";
import { fill } from "../../parts/element.js";
import { wheelFace, boltPlaces, scaleOf } from "../../drawings/wheel-face.js";
import { words } from "../../drawings/wheel-signs.js";
import { svg } from "../../parts/svg.js";
import { threadName } from "../../words/thread-name.js";
import { FactsPanel } from "../read/facts-panel.js";

const NOT_KNOWN = { id: "", label: () => "–" };
const isCircle = ({ layout }) => layout !== "list";
const isStud = ({ fastener }) => fastener === "stud";

const FIELDS = [
  { name: "layout", kind: "choice", options: ["circle", "list"] },
  { name: "count", kind: "text", when: isCircle },
  { name: "circle", kind: "text", when: isCircle, hint: true },
  { name: "first", kind: "text", when: isCircle, hint: true },
  { name: "list", kind: "lines", when: (typed) => !isCircle(typed), hint: true },
  { name: "thread", kind: "select", options: [NOT_KNOWN, ...THREADS.map((thread) => ({ id: thread.id, label: (t) => threadName(t, thread) }))] },
  { name: "class", kind: "select", options: [NOT_KNOWN, ...CLASSES.map((id) => ({ id, label: () => id }))] },
  { name: "fastener", kind: "choice", options: ["bolt", "stud"] },
  { name: "nut", kind: "text", when: isStud },
  { name: "metal", kind: "choice", options: ["steel", "iron", "aluminium"], when: (typed) => !isStud(typed) },
  { name: "by", kind: "choice", options: ["measured", "turns"] },
  { name: "engaged", kind: "text", when: ({ by }) => by !== "turns", hint: true },
  { name: "turns", kind: "text", when: ({ by }) => by === "turns", hint: true },
  { name: "hole", kind: "choice", options: ["through", "blind"], when: (typed) => !isStud(typed) },
  { name: "depth", kind: "text", when: (typed) => !isStud(typed) && typed.hole === "blind", hint: true },
];

export class BoltsPanel extends FactsPanel {
  #notes = null;

  constructor(context) {
    super(context, {
      name: "bolts", prefix: "fitting.bolts", fields: FIELDS, read: boltsFrom,
      first: { layout: "circle", fastener: "bolt", by: "measured" },
      isEmpty: ({ count, circle, list }) => ![count, circle, list].some((text) => text?.trim()),
    });
  }

  async prepare() {
    const { app, job } = this.context;
    this.#notes = axleNotes(await keptJobs(app.phone), job.description, job.id);
  }

  decorate(above, below, typed) {
    const { app, job, step } = this.context;
    const isFresh = !job.field(step.slot);
    fill(above, this.#notes && isFresh && axleNotesCard({ app, job, notes: this.#notes, onTaken: (bolts) => this.take(bolts) }));
    fill(below, this.#picture(app.t, typed));
  }

  #picture(t, typed) {
    try {
      const { at } = boltsFrom(typed);
      const places = boltPlaces("left", at, scaleOf(at));
      const title = t("fitting.bolts.picture");
      return wheelFace({ side: "left", kind: "bolt-picture", t, title, description: title },
        places.map(([x, y], n) => svg("g", { class: "bolt" },
          svg("circle", { class: "bolt-head", "stroke-width": 1.2, cx: x, cy: y, r: 8 }), words(x, y + 3.4, 9.5, String(n + 1), "bolt-number"))));
    } catch {
      return null; // half typed: the form says what is missing when it is kept
    }
  }
}
