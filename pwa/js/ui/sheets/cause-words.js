/**
 * What may lie behind a check reading, in words: size and turn, the causes with how likely each is, what to look at.
 */

import { element } from "../parts/element.js";
import { more } from "../parts/more-fold.js";

const LEAST_SHARE = 0.01; // below one in a hundred a cause is not worth a line
const FIRST_SHARE = 0.05; // of those that cannot be told apart, the rest stands behind one tap

/** Size and turn of the change at one wheel. */
export function sizeAndTurn({ app: { t }, proof }) {
  const { size, size_sd, turn_deg, turn_sd_deg } = proof;
  if (size === null) return [element("p", { key: "size", text: t("proof.too-small") })];
  const turned = Math.abs(turn_deg ?? 0) < 0.5 ? "none" : turn_deg > 0 ? "rear" : "front";
  return [
    element("p", { key: "size", text: t("proof.size",
      { percent: t.number(size * 100, 0), spread: t.number(size_sd * 100, 0) }) }),
    turn_deg === null
      ? element("p", { key: "turn", text: t("proof.turn.unknown") })
      : element("p", { key: "turn",
        text: t(`proof.turn.${turned}`,
          { degrees: t.number(Math.abs(turn_deg), 0), spread: t.number(turn_sd_deg, 0) }) }),
  ];
}

/** The causes by groups: those that the numbers cannot tell apart stand together. */
export function causesPart({ app, proof, nameOf }) {
  const { t } = app;
  const rows = Object.fromEntries(proof.causes.map((row) => [row.code, row]));
  const groups = proof.groups.map((codes) => codes.map((code) => rows[code])
    .filter(({ share }) => share >= LEAST_SHARE)).filter((group) => group.length > 0);
  const [first = [], ...others] = groups;
  const [shown, rest] = [first.filter(({ share }, place) => place === 0 || share >= FIRST_SHARE),
    first.filter(({ share }, place) => place > 0 && share < FIRST_SHARE)];
  return element("div", { class: "stack", key: "causes" },
    element("h3", { text: t("proof.likeliest") }),
    first.length > 1 && element("p", { text: t("proof.not-apart", { count: first.length }) }),
    causeList({ app, nameOf }, shown),
    moreOf({ app, nameOf }, [...rest, ...others.flat()]),
    more({ label: t("proof.show-how"), key: "show-how" },
      element("ul", {}, groups.flat()
        .map((row) => element("li", {
          text: t("proof.cause", { name: t(`cause.${row.code}`), more: shareWords(t, row.share) }) })))));
}

function causeList({ app, nameOf }, rows) {
  return element("ul", { class: "stack" }, rows.map((row) => causeLine({ app, row, nameOf })));
}

function moreOf(context, rows) {
  if (rows.length === 0) return null;
  return more({ label: context.app.t("proof.more", { count: rows.length }) },
    causeList(context, rows));
}

function causeLine({ app: { t }, row, nameOf }) {
  return element("li", { class: "cause", key: `cause-${row.code}` },
    element("p", { class: "cause-name", text: causeName(t, row, nameOf) }),
    element("p", { class: "soft", text: t(`likelihood.${row.likelihood}`) }),
    element("p", { text: t(`cause.${row.code}.look`) }));
}

/** A cause with its detail: "One ring a few marks off: the inner ring at 13". */
export function causeName(t, { code, detail }, nameOf = (id) => id) {
  const name = t(`cause.${code}`);
  const more = detailWords(t, detail, nameOf);
  return more ? t("proof.cause", { name, more }) : name;
}

function detailWords(t, detail, nameOf) {
  if (detail.mark !== undefined)
    return t("proof.detail.mark", { ring: t(`fitting.ring.${detail.ring}`), mark: detail.mark });
  if (detail.ring) return t(`fitting.ring.${detail.ring}`);
  if (detail.turn_deg !== undefined) return t(detail.turn_deg > 0 ? "proof.detail.rear" : "proof.detail.front",
    { degrees: Math.round(Math.abs(detail.turn_deg)) });
  if (detail.faces) return t(`proof.detail.faces.${detail.faces}`);
  if (detail.ring_set) return nameOf(detail.ring_set);
  if (detail.slip) return t("proof.detail.slip",
    { slip: t(`cause.unit.${detail.slip}`), reading: t(`proof.reading.${detail.reading}`) });
  return detail.reading ? t(`proof.reading.${detail.reading}`) : "";
}

/** How much speaks for a cause, by the numbers alone; never certainty. */
function shareWords(t, share) {
  if (share >= 0.95) return t("proof.share.most");
  return share < 0.05 ? t("proof.share.little") : t("proof.share", { tenths: Math.max(1, Math.round(share * 10)) });
}

/** What no number can name. */
export function lookAtPart({ app: { t }, proof }) {
  if (proof.look_at.length === 0) return null;
  return more({ label: t("proof.look-at"), key: "look-at" },
    element("ul", { class: "stack" }, proof.look_at.map((code) => element("li", {},
      element("strong", { text: t(`cause.${code}`) }), " ", t(`cause.${code}.look`)))));
}
