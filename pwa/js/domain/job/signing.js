// Who may sign "complete and true": nobody while a hold that can kill is open, work was begun and no single plan says
// what was to be done, or an answer stands that stops the job.
// What else is open is listed first and in full, never cut. Pure.

/**
 * @param {Job} job
 * @returns {{may: boolean, refusals: {code: "hold-open"|"refused", row: object}[], open: object[]}} `refusals` in
 *   working order; `open`: all other required rows that nobody has answered or gone past, which the signature leaves
 *   open by name
 */
export function signing(job) {
  const left = job.openRows();
  const refused = left.filter(({ state }) => state === "refused");
  const unpassable = [...job.unsettledPlans(), ...job.unpassableOpen()];
  const holds = unpassable.filter((row) => !refused.includes(row));
  const refusals = [
    ...refused.map((row) => ({ code: "refused", row })), ...holds.map((row) => ({ code: "hold-open", row })),
  ];
  const stopping = new Set([...refused, ...holds]);
  return {
    may: refusals.length === 0,
    refusals: refusals.sort((a, b) => a.row.order - b.row.order),
    open: left.filter((row) => !stopping.has(row)),
  };
}
