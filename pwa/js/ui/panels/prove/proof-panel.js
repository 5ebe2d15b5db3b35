/**
 * What is outside comes first, then what changed at each wheel and what may lie behind it, then the next round, which is the way
 * on as long as an angle is outside; finishing all the same comes second and says what stays. Every angle before, predicted and
 * after stands behind a tap, earlier rounds and the front readings below. It judges by domain/prove/prove.js and saves nothing but a new round.
 */

import { currentRound, planOf, wheelsOf } from "../../../domain/job/checklist-slots.js";
import { fieldOf } from "../../../domain/job/settled.js";
import { prove } from "../../../domain/prove/prove.js";
import { proveInputOf } from "../../../domain/job/proving.js";
import { isWhole, roundsOf } from "../../../domain/job/rounds.js";
import { SHOP_SPREAD } from "../../../domain/job/shop-spread.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { setSuits } from "../../../domain/job/suitability.js";
import { beyond } from "../../../domain/numbers/window.js";
import { button, element, fill } from "../../parts/element.js";
import { errorText } from "../../parts/error-text.js";
import { more } from "../../parts/more.js";
import { frontPart } from "./front-part.js";
import { NextRoundCard } from "./next-round-card.js";
import { LEFT_OUT } from "../choose/plan-choice.js";
import { outsideOf, roundLines, roundSections } from "./round-lines.js";
import { remark } from "../../parts/signal.js";
import { angleJudged } from "../../words/angle-judged.js";
import { bareProof, wheelProof } from "./wheel-proof.js";

export class ProofPanel {
  #context;
  #sets = [];
  #planned = [];
  #shopSpread = null;
  #shown = null;
  #outside = [];
  #nextRound = null;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide", key: "proof" });
  }

  async prepare() {
    const { app, job } = this.#context;
    this.#sets = (await app.phone.ringSets()).filter(({ retired }) => !retired);
    this.#shopSpread = await app.phone.setting(SHOP_SPREAD);
    const named = Object.entries(planOf(job.fold, currentRound(job.fold))?.tables ?? {});
    const tables = await Promise.all(named.map(async ([id, sha256]) => ({ id, sha256, table: await app.phone.table(sha256) })));
    this.#planned = tables.filter(({ table }) => table).map((each) => ({ ...each, name: this.#sets.find(({ id }) => id === each.id)?.name ?? each.table.ring_set.name }));
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, job } = this.#context;
    if (this.#shown === job.entries.length) return undefined; // else what the person opened stays open
    this.#shown = job.entries.length;
    const rounds = roundsOf(job.fold);
    const now = rounds.at(-1);
    const isRead = now && isWhole(now.check);
    this.#outside = isRead ? outsideOf(roundLines({ app: this.#context.app, job, ...now })) : [];
    this.#nextRound = null;
    return fill(this.element,
      isRead ? [this.#now(now), this.#proofs(now), this.#angles(now), this.#finish()] : remark({ name: "open", text: t("ui.proof.no-readings") }),
      frontPart({ app: this.#context.app, job }),
      rounds.slice(0, -1).reverse().map((round) => this.#earlier(round)));
  }

  /** With an angle outside the way on is to look for the cause and go into another round. */
  get primary() {
    const { app: { t }, goOn } = this.#context;
    if (this.#outside.length === 0) return { key: "next", label: t("ui.step.next"), press: goOn };
    return this.#nextRound?.primary ?? { key: "read-again", label: t("proof.read-again"), press: () => this.#readAgain() };
  }

  #readAgain() {
    const { app, job } = this.#context;
    app.go({ screen: "step", job: job.id, slot: job.steps.find(({ panel }) => panel === "check-readings").slot });
  }

  /** It can be finished so: what stays outside is said in words, on the button too. */
  #finish() {
    const { app: { t, words }, goOn } = this.#context;
    const count = this.#outside.length;
    if (count === 0) return null;
    const angles = this.#outside.map(({ name, quantity, now, limits }) => t("proof.stays", { name, by: words.size(quantity, beyond(now, limits)) }));
    return element("section", { class: "sheet stack", key: "finish-outside" },
      element("h2", { text: t("proof.finish-so") }),
      element("p", { text: t("proof.finish-so.means", { angles: angles.join("; ") }) }),
      button({ key: "next", label: t("ui.proof.go-on", { count }), kind: "quiet", onPress: () => goOn() }));
  }

  #now(round) {
    const { app, app: { t } } = this.#context;
    const count = this.#outside.length;
    return [
      round.round > 1 && element("h2", { text: t("proof.round", { round: round.round }) }),
      element("div", { class: "sheet stack", key: "proof-now" },
        element("div", { class: "big" }, remark(count === 0 ? { name: "inside", text: t("ui.proof.all-inside") } : { name: "outside", text: t("ui.proof.outside", { count }) })),
        count > 0 && element("dl", { class: "means" }, this.#outside.map(({ name, quantity, now, limits }) => [
          element("dt", { text: name }), element("dd", {}, angleJudged({ app, quantity, mdeg: now, limits }))]))),
    ];
  }

  #angles(round) {
    const { app, job } = this.#context;
    return folded(app.t("proof.angles"), "proof-angles", roundSections({ app, job, ...round }));
  }

  #proofs({ round, body, check }) {
    const { app, job } = this.#context;
    const setOf = (id) => this.#planned.find((each) => each.id === id)?.table.ring_set;
    const nameOf = (id) => job.names[id] ?? id;
    try {
      const wheels = {};
      for (const side of SIDES) {
        const input = proveInputOf(job.fold, round, side, { setOf, others: this.#sets.map(({ table }) => table.ring_set), shop: this.#shopSpread });
        if (input) wheels[side] = { input, proof: prove(input) };
      }
      const bare = wheelsOf(job.fold, round).bare;
      return [
        bare.map((side) => bareProof({ app, job, round, side, body, check })),
        SIDES.filter((side) => wheels[side]).map((side) => wheelProof({
          app, job, round, side, nameOf, proof: wheels[side].proof, body, check: [check[side].camber, check[side].toe],
          table: this.#planned.find(({ id }) => id === body.plan[side].ring_set)?.table,
        })),
        Object.keys(wheels).length + bare.length > 0 && this.#nextRoundAfter(round, wheels, bare),
      ];
    } catch (error) {
      return remark({ name: "warning", text: errorText(app.t, error) });
    }
  }

  #nextRoundAfter(round, wheels, bare) {
    const { app, job } = this.#context;
    this.#nextRound = new NextRoundCard({ app, job, round, wheels, bare, isWanted: this.#outside.length > 0, sets: this.#usable(), tables: this.#planned, shopSpread: this.#shopSpread });
    return this.#nextRound.element;
  }

  /** Sets that suit and that nobody left out. */
  #usable() {
    const { job } = this.#context;
    const leftOut = fieldOf(job.fold, LEFT_OUT)?.ids ?? [];
    return this.#sets.filter(({ id, table }) => !leftOut.includes(id) && setSuits(job.fold, table).suits !== false);
  }

  #earlier(round) {
    const { app, app: { t }, job } = this.#context;
    return folded(t("proof.earlier", { round: round.round }), `round-${round.round}`,
      isWhole(round.check) ? roundSections({ app, job, ...round }) : element("p", { text: t("proof.not-read") }));
  }
}

function folded(label, key, inside) {
  return more({ label, key },
    element("div", { class: "stack wide" }, inside));
}
