/**
 * Before, predicted, after: each angle of each wheel and of the axle, in words; what may lie behind it; and the next round.
 * Earlier rounds stay below, and the front readings beside. It judges by domain/prove.js and saves nothing but a new round.
 */

import { currentRound } from "../../domain/checklist.js";
import { planOf } from "../../domain/checklist-slots.js";
import { fieldOf } from "../../domain/job.js";
import { prove } from "../../domain/prove.js";
import { proveInputOf } from "../../domain/proving.js";
import { isWhole, roundsOf } from "../../domain/rounds.js";
import { SHOP_SPREAD } from "../../domain/shop-spread.js";
import { setSuits } from "../../domain/suits.js";
import { element, fill } from "../element.js";
import { errorText } from "../error-text.js";
import { frontPart } from "../front-part.js";
import { NextRoundCard } from "../next-round-card.js";
import { LEFT_OUT } from "../plan-choice.js";
import { outsideCount, roundLines, roundSections } from "../round-lines.js";
import { remark } from "../signal.js";
import { wheelProof } from "../wheel-proof.js";

const SIDES = ["left", "right"];

export class ProofPanel {
  #context;
  #sets = [];
  #planned = [];
  #shopSpread = null;
  #shown = null;
  #outside = 0;

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
    this.#outside = isRead ? outsideCount(roundLines({ app: this.#context.app, job, ...now })) : 0;
    return fill(this.element,
      isRead ? [this.#now(now), this.#proofs(now)] : remark({ name: "open", text: t("ui.proof.no-readings") }),
      frontPart({ app: this.#context.app, job }),
      rounds.slice(0, -1).reverse().map((round) => this.#earlier(round)));
  }

  /** Going on with an angle outside is said on the button itself. */
  get primary() {
    const { app: { t }, goOn } = this.#context;
    return { key: "next", label: this.#outside > 0 ? t("ui.proof.go-on", { count: this.#outside }) : t("ui.step.next"), press: goOn };
  }

  #now(round) {
    const { app, app: { t }, job } = this.#context;
    return [
      round.round > 1 && element("h2", { text: t("proof.round", { round: round.round }) }),
      element("div", { class: "sheet big" }, this.#outside === 0
        ? remark({ name: "inside", text: t("ui.proof.all-inside") })
        : remark({ name: "outside", text: t("ui.proof.outside", { count: this.#outside }) })),
      roundSections({ app, job, ...round }),
    ];
  }

  #proofs({ round, body, check }) {
    const { app, job } = this.#context;
    const setOf = (id) => this.#planned.find((each) => each.id === id)?.table.ring_set;
    const nameOf = (id) => this.#sets.find((set) => set.id === id)?.name ?? id;
    try {
      const wheels = {};
      for (const side of SIDES) {
        const input = proveInputOf(job.fold, round, side, { setOf, others: this.#sets.map(({ table }) => table.ring_set), shop: this.#shopSpread });
        if (input) wheels[side] = { input, proof: prove(input) };
      }
      return [
        SIDES.filter((side) => wheels[side]).map((side) => wheelProof({
          app, job, round, side, nameOf, proof: wheels[side].proof, plan: body.plan, check: [check[side].camber, check[side].toe],
          table: this.#planned.find(({ id }) => id === body.plan[side].ring_set)?.table,
        })),
        Object.keys(wheels).length > 0 && new NextRoundCard({ app, job, round, wheels, isWanted: this.#outside > 0, sets: this.#usable(), tables: this.#planned, shopSpread: this.#shopSpread }).element,
      ];
    } catch (error) {
      return remark({ name: "warning", text: errorText(app.t, error) });
    }
  }

  /** Sets that suit and that nobody left out. */
  #usable() {
    const { job } = this.#context;
    const leftOut = fieldOf(job.fold, LEFT_OUT)?.ids ?? [];
    return this.#sets.filter(({ id, table }) => !leftOut.includes(id) && setSuits(job.fold, table).suits !== false);
  }

  #earlier(round) {
    const { app, app: { t }, job } = this.#context;
    return element("details", { class: "more", key: `round-${round.round}` },
      element("summary", { class: "button quiet" }, element("span", { class: "button-label", text: t("proof.earlier", { round: round.round }) })),
      element("div", { class: "stack wide" }, isWhole(round.check) ? roundSections({ app, job, ...round }) : element("p", { text: t("proof.not-read") })));
  }
}
