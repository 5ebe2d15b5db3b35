/**
 * The result of a round: whether everything is inside, before, planned and after beside each other, one picture, what
 * to think of it, and the way into another round, which begins only with a deliberate tap. It judges by
 * domain/prove/prove.js.
 */

import { planOf, wheelsOf } from "../../domain/job/checklist-slots.js";
import { axleOf } from "../../domain/choose/axle.js";
import { KIND } from "../../domain/job/entry.js";
import { AXLE_ANGLES, WHEEL_ANGLES, signWordOf } from "../../domain/numbers/quantities.js";
import { beyond } from "../../domain/numbers/window.js";
import { prove } from "../../domain/prove/prove.js";
import { proveInputOf } from "../../domain/job/proving.js";
import { bothSides, disagreeingReadings } from "../../domain/job/readings.js";
import { isWhole, roundsOf } from "../../domain/job/rounds.js";
import { setSuits } from "../../domain/job/suitability.js";
import { SHOP_SPREAD } from "../../domain/job/shop-spread.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { tiltMapModel } from "../drawings/tilt-map-model.js";
import { TiltMaps } from "../drawings/tilt-maps.js";
import { element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { LEFT_OUT } from "./plan-choice.js";
import { NextRoundCard } from "./next-round-card.js";
import { roundSections } from "./round-lines.js";
import { bareProof, wheelProof } from "./wheel-proof.js";

export class ResultCard {
  static saysTitle = true;
  #context;
  #row;
  #sets = [];
  #planned = [];
  #spread = null;
  #shown = null;
  /** The way into another round and what it was asked of. */
  #next = null;
  #verdict = element("div", { class: "stack", key: "result", role: "status" });
  #table = element("div", {});
  #maps;
  #thoughts = element("div", { class: "stack result-thoughts" });

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, app: { words } } = context;
    this.#maps = new TiltMaps({ t, words: (quantity, mdeg) => words.say(quantity, mdeg) });
    this.element = element("div", { class: "stack result-card" }, this.#verdict, this.#table, this.#maps.element,
      this.#thoughts);
    this.#prepare(row.round).then(() => { this.#shown = null; this.update(this.#row); });
    this.update(row);
  }

  async #prepare(round) {
    const { app: { phone }, job } = this.#context;
    const [sets, spread] = await Promise.all([phone.ringSets(), phone.setting(SHOP_SPREAD)]);
    this.#sets = sets.filter(({ retired }) => !retired);
    this.#spread = spread;
    const named = Object.entries(planOf(job.fold, round)?.tables ?? {});
    const tables = await Promise.all(named.map(async ([id, sha256]) =>
      ({ id, sha256, table: await phone.table(sha256) })));
    this.#planned = tables.filter(({ table }) => table)
      .map((each) => ({ ...each, name: this.#sets.find(({ id }) => id === each.id)?.name
        ?? each.table.ring_set.name }));
  }

  update(row) {
    this.#row = row;
    const { t, job } = this.#context;
    if (this.#shown === job.version) return undefined;
    this.#shown = job.version;
    const rounds = roundsOf(job.fold);
    const now = rounds.find(({ round }) => round === row.round);
    const isRead = now && isWhole(now.check);
    for (const part of [this.#table, this.#maps.element, this.#thoughts]) part.hidden = !isRead;
    if (!isRead) return fill(this.#verdict, this.#whyNone(disagreeingReadings(job.fold, `round.${row.round}.check`)));
    const lines = linesOf(job, now);
    this.#sayVerdict(lines.filter(({ now: mdeg, limits }) => limits && beyond(mdeg, limits) !== 0), lines);
    fill(this.#table, this.#resultTable(lines));
    this.#maps.update(bothSides((side) => this.#mapOf(now, side)));
    return fill(this.#thoughts, this.#proofs(now, lines), rounds.filter(({ round }) => round < row.round).reverse()
      .map((round) => this.#earlier(round)));
  }

  /** Readings that contradict each other have no mean, so nothing is judged from them. */
  #whyNone(disagreeing) {
    const { t } = this.#context;
    if (disagreeing.length === 0) return remark({ name: "open", text: t("ui.proof.no-readings") });
    return disagreeing.map(({ side, angle }) =>
      remark({ name: "warning", text: t("ui.choose.disagreeing",
        { side: t(`ui.side.${side}`), part: t(`ui.quantity.${angle}`) }) }));
  }

  #sayVerdict(outside, lines) {
    const { t, app: { words } } = this.#context;
    const most = Math.max(0, ...lines.filter(({ side, meant }) => side && meant !== null)
      .map(({ now, meant }) => Math.abs(now - meant)));
    fill(this.#verdict,
      element("p", { class: "result-head with-shape" }, stateShape(outside.length === 0 ? "inside" : "outside"),
        element("span", { text: outside.length === 0 ? t("result.inside")
          : t("ui.proof.outside", { count: outside.length }) })),
      element("p", { key: "result-off", text: t("result.off", { by: words.size("camber", most) }) }),
      outside.map(({ quantity, side, now, limits }) =>
        element("p", { class: "judged outside",
          text: t("proof.stays", { name: nameOf(t, quantity, side),
            by: words.size(quantity, beyond(now, limits)) }) })));
  }

  /**
   * Before, planned and after stand under each other, so that the eye runs down a column; what is outside has a box.
   * LEFT and RIGHT are the only columns: four beside each other broke words and numbers on a small phone.
   */
  #resultTable(lines) {
    const { t } = this.#context;
    const axle = lines.filter(({ side }) => !side);
    const times = [["before", "was"], ["plan", "meant"], ["after", "now"]];
    const body = (columns) => times.map(([time, name]) =>
      element("tr", { class: time }, element("th", { scope: "row", text: t(`result.${time}`) }),
        columns.map((line) => this.#number(line, line[name]))));
    const names = (columns) => element("tr", {}, element("td", {}),
      columns.map(({ quantity }) => element("th", { scope: "col", text: t(`ui.quantity.${quantity}`) })));
    return element("div", { class: "stack", key: "result-table" },
      element("table", { class: "result-table" },
        element("thead", {}, element("tr", {}, element("td", {}),
          SIDES.map((side) => element("th", { scope: "col", text: t(`ui.side.${side}`) })))),
        WHEEL_ANGLES.map((angle) => element("tbody", {},
          element("tr", {}, element("th",
            { class: "result-angle", scope: "rowgroup", colspan: 3, text: t(`ui.quantity.${angle}`) })),
          body(SIDES.map((of) => lines.find(({ quantity, side }) => quantity === angle && side === of)))))),
      [axle.slice(0, 2), axle.slice(2)].filter(({ length }) => length > 0).map((columns) =>
        element("table", { class: "result-table" }, element("thead", {}, names(columns)),
          element("tbody", {}, body(columns)))));
  }

  #number({ quantity, limits }, mdeg) {
    if (mdeg === null) return element("td", { text: "–" });
    const { t, app: { words } } = this.#context;
    const isOutside = limits && beyond(mdeg, limits) !== 0;
    return element("td", {}, element("span", { class: isOutside ? "boxed" : null, text: words.size(quantity, mdeg) }),
      " ",
      mdeg !== 0 && element("span", { class: "result-way", text: t(`ui.said.${signWordOf(quantity, mdeg)}`) }));
  }

  #mapOf({ body, base, check }, side) {
    const { job } = this.#context;
    const windows = job.windows()[side];
    const table = body.plan[side] && this.#planned.find(({ id }) => id === body.plan[side].ring_set)?.table;
    const model = tiltMapModel({
      side, check: [check[side].camber, check[side].toe], base: [base[side].camber, base[side].toe],
      window: { camber: windows.camber, toe: windows.toe }, plan: body.plan,
      spread: body.input.spread, ringSetOf: () => table?.ring_set, tables: table ? [table] : [],
    });
    return model;
  }

  #proofs({ round, body, check }, lines) {
    const { app, t, job } = this.#context;
    const setOf = (id) => this.#planned.find((each) => each.id === id)?.table.ring_set;
    const name = (id) => job.names[id] ?? id;
    try {
      const wheels = {};
      for (const side of SIDES) {
        const input = proveInputOf(job.fold, round, side,
          { setOf, others: this.#sets.map(({ table }) => table.ring_set), shop: this.#spread });
        if (input) wheels[side] = { input, proof: prove(input) };
      }
      const { bare } = wheelsOf(job.fold, round);
      const isOutside = lines.some(({ now, limits }) => limits && beyond(now, limits) !== 0);
      return [
        bare.map((side) => bareProof({ app, job, round, side, body, check })),
        SIDES.filter((side) => wheels[side]).map((side) => wheelProof({
          app, job, round, side, nameOf: name, proof: wheels[side].proof, body,
          check: [check[side].camber, check[side].toe],
          table: this.#planned.find(({ id }) => id === body.plan[side].ring_set)?.table,
        })),
        Object.keys(wheels).length + bare.length > 0 && this.#nextRound({ round, wheels, bare, isWanted: isOutside }),
      ];
    } catch (error) {
      return remark({ name: "warning", text: errorText(t, error) });
    }
  }

  /** Whatever else comes in meanwhile, what was answered stays while it is asked of the same proofs. */
  #nextRound(model) {
    const { app, job } = this.#context;
    const asked = JSON.stringify(model);
    const given = this.#next?.asked === asked ? this.#next.card.given : null;
    const card = new NextRoundCard({ ...model, given, app, job, sets: this.#usable(), tables: this.#planned,
      shopSpread: this.#spread, onStart: (body) => this.#start(model.round + 1, body) });
    this.#next = { asked, card };
    return card.element;
  }

  /** The reading is confirmed before anything opens: the tap says the angles that the round rests on. */
  async #start(round, body) {
    const { job, save, goTo } = this.#context;
    const slot = job.slotOf("choose.plan", { round });
    if (await save({ slot }, { kind: KIND.PLAN_CHOSEN, body }))
      goTo(job.sheets.find((sheet) => sheet.round === round)?.key ?? job.nextOpen()?.sheet);
  }

  /** Sets that suit and that nobody left out. */
  #usable() {
    const { job } = this.#context;
    const leftOut = job.field(LEFT_OUT)?.ids ?? [];
    return this.#sets.filter(({ id, table }) => !leftOut.includes(id) && setSuits(job.fold, table).suits !== false);
  }

  #earlier(round) {
    const { app, t, job } = this.#context;
    return more({ label: t("proof.earlier", { round: round.round }), key: `round-${round.round}` },
      element("div", { class: "stack" }, isWhole(round.check) ? roundSections({ app, job, ...round })
        : element("p", { text: t("proof.not-read") })));
  }
}

/** Every angle of wheels and axle: before, planned, after, with its window. */
function linesOf(job, { body, base, check }) {
  const windows = job.windows();
  const wheels = SIDES.flatMap((side) => WHEEL_ANGLES.map((quantity, at) => ({
    quantity, side, was: base[side][quantity], meant: body.plan.predicted[side][at], now: check[side][quantity],
    limits: windows[side][quantity],
  })));
  const [was, now] = [isWhole(base) ? axleOf(base) : null, axleOf(check)];
  const axle = AXLE_ANGLES.filter(([, name]) => name !== "cross_camber" || windows.cross_camber)
      .map(([quantity, name]) => ({
    quantity, side: null, was: was?.[name] ?? null, meant: body.plan.axle[name], now: now[name], limits: windows[name],
  }));
  return [...wheels, ...axle];
}

function nameOf(t, quantity, side) {
  const part = t(`ui.quantity.${quantity}`);
  return side ? t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part }) : part;
}
