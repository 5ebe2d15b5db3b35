/** Where the lugs of the caliper bracket stand, and which spacers the shop has: the stock is asked once per phone. */

import { bracketFrom, stockFrom } from "../../domain/job/bracket-lugs.js";
import { FactsPanel } from "./facts-panel.js";

const STOCK = "spacer-stock";

const FIELDS = [
  { name: "lugs", kind: "lines", hint: true },
  { name: "stock", kind: "lines", hint: true },
  { name: "engaged", kind: "text", hint: true },
];

export class BracketPanel extends FactsPanel {
  constructor(context) {
    super(context, {
      name: "bracket", prefix: "fitting.bracket", fields: FIELDS, first: {},
      read: (typed) => {
        const bracket = bracketFrom(typed);
        // only a convenience: the job keeps its own
        context.app.phone.setSetting(STOCK, typed.stock ?? "").catch(() => {});
        return bracket;
      },
      isEmpty: ({ lugs }) => !lugs?.trim(),
    });
  }

  async prepare() {
    const { app, job, step, typed } = this.context;
    const stock = await app.phone.setting(STOCK).catch(() => null);
    const kept = job.field(step.slot)?.typed; // lugs of a vehicle type come without spacers
    if (stock && !typed && !kept?.stock?.trim() && isReadable(stock)) this.take({ ...kept, stock });
  }
}

function isReadable(stock) {
  try {
    return stockFrom(stock).length > 0;
  } catch {
    return false;
  }
}
