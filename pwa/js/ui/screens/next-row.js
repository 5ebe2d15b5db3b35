/**
 * What a card of the list says of the next row. It stands on all that a sheet stands on, so it comes only when a job
 * has changed: what is said of the others is kept with their summaries.
 */

import { begunWithIn } from "../../domain/job/entry.js";
import { nextOpen, rowsIn, sheetsOf } from "../../domain/job/sheets.js";

/** @returns {function(Object, Object[]): Object|null} from a job's fold and entries, what its card says next */
export function nextRowIn(checklist) {
  return (fold, entries) => {
    const sheets = sheetsOf(checklist, fold, { begunWith: begunWithIn(entries) });
    const row = nextOpen(rowsIn(sheets));
    if (!row) return null;
    const { id, wheel, round } = sheets.find(({ key }) => key === row.sheet);
    return { sheet: { id, wheel, round }, id: row.id, wheel: row.wheel, params: { ...row.params } };
  };
}
