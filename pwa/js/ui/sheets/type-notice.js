/**
 * A type that was corrected at the desk tells a job that used the older revision: on every sheet, what is otherwise
 * now, and the way there.
 */

import { correctedIn, groupOf } from "../../domain/types/type-parts.js";
import { keptTypes } from "../kept-types.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { slotWords, valueWords } from "../words/type-words.js";

export class TypeNotice {
  #context;
  #drawn = "";
  element = element("div", { class: "type-notice stack", key: "type-corrected", role: "status", hidden: true });

  constructor(context) {
    this.#context = context;
    this.update();
  }

  update() {
    const { app: { phone }, job, t } = this.#context;
    const chosen = job.fold.state === "open" ? keptTypes(phone).chosen(job, () => this.update()) : null;
    const changed = chosen ? correctedIn(job, chosen) : [];
    const both = changed.map(({ slot, was, now }) => ({ slot, value: [was, now] }));
    const lines = changed.map(({ slot, was, now }) => t(now === null ? "type.corrected.gone" : "type.corrected.line", {
      what: slotWords(this.#context, slot, both), was: valueWords(this.#context, { slot, value: was }),
      now: valueWords(this.#context, { slot, value: now }),
    }));
    const said = [...new Set(lines)];
    const drawn = JSON.stringify([chosen?.revision, said]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.element.hidden = said.length === 0;
    const groups = [...new Set(changed.map(({ slot }) => groupOf(slot)))];
    fill(this.element, said.length > 0 && [
      remark({ name: "warning", text: t("type.corrected", { revision: chosen.revision }) }),
      element("ul", { class: "type-facts" }, said.map((text) => element("li", { text }))),
      groups.map((group) => button({ key: `to-type-${group}`, kind: "quiet narrow",
        label: t("type.corrected.go", { group: t(`row.type.${group}.title`) }),
        onPress: () => this.#context.goTo(cardOf(job, group)) })),
    ]);
  }
}

/** The card under which a group is looked at, which may be that of another one. */
function cardOf(job, group) {
  return job.rows.find(({ groups }) => groups?.includes(group))?.slot ?? `type.${group}`;
}
