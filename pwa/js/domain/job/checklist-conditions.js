// Decides whether a `when` condition of the checklist holds. Pure.

/**
 * @param {object[]} conditions all of which must hold; each is one of
 *   {"field": step id, "is": [values]}   holds once the answer is one of these
 *   {"field": step id, "not": [values]}  holds unless the answer is one of these: while it is unknown the step is
 *   shown,
 *                                        so that a caution is never hidden by a question nobody answered
 *   {"field": step id, "none": [values]} holds as long as nobody's answer is one of these, also where two people differ
 *   {"plan": "rings"}                    the wheel gets rings in this round; asked for the whole vehicle: some wheel
 *   does
 *   {"plan": "work"}                     the wheel is opened in this round
 *   {"plan": "old-pair"}                 the pair of an earlier round comes out there
 *   {"plan": "same-pair"}                the pair that goes in is the one that sat there: same ring set, same marks
 *   {"plan": "new-pair"}                 it is another, or the first
 *   {"plan": "bare"}                     it is opened and gets no rings: the pair comes out, and nothing goes in
 *   {"plan": "take-out"}                 rings that sat there already come out, before any reading of this job counts
 *   {"unticked": id}                     nobody has ticked that row, at this wheel and in this round
 *   {"found": "plan-stale"}              windows or readings were corrected after the plan was taken
 *   (plan-still-holds.js)
 *   {"found": "parts-missing"}           a part that the plan needs is not at hand
 *   {"found": "as-found"}                readings were taken before something that they rest on was put right
 *   (as-found.js)
 *   {"found": "vehicle-type"}            one of the shop's vehicle types was chosen for this vehicle
 *   {"found": "bolt-backed-out"}         a hub bolt was backed out to be measured, and a hub is not tightened after it
 *   (round-work.js)
 *   {"ending": true}                     the job ends without rings; false: it does not
 *   {"any": [conditions]}
 * @param {{valueOf: (id: string) => *, isPlanned: (what: string) => boolean, isTicked: (id: string) => boolean,
 *   isFound: (what: string) => boolean, isEnding: boolean}} facts
 *   `valuesOf`, where it is given, has the answers of every wheel to a question that is asked at each: one is enough
 * @throws {Error} for a condition of another form: the checklist is ours, so that is a bug
 */
export function allHold(conditions = [], facts) {
  return conditions.every((condition) => holds(condition, facts));
}

function holds(condition, facts) {
  if (condition.any) return condition.any.some((inner) => holds(inner, facts));
  if (condition.plan) return facts.isPlanned(condition.plan);
  if (condition.is) return valuesOf(condition.field, facts).some((value) => condition.is.includes(value));
  if (condition.not) return valuesOf(condition.field, facts).some((value) => !condition.not.includes(value));
  if (condition.none) return !valuesOf(condition.field, facts).some((value) => condition.none.includes(value));
  if (condition.unticked) return !facts.isTicked(condition.unticked);
  if (condition.found) return facts.isFound(condition.found);
  if (typeof condition.ending === "boolean") return condition.ending === facts.isEnding;
  throw new Error(
    `checklist condition: expected "is", "not", "none", "any", "plan", "unticked", "found" or "ending", `
      + `got ${JSON.stringify(condition)}`);
}

function valuesOf(id, facts) {
  return facts.valuesOf ? facts.valuesOf(id) : [facts.valueOf(id)];
}

/**
 * Whether the conditions hold, or may come to hold by an answer or a plan that is still to be given.
 * @param {object[]} conditions
 * @param {{valueOf: (id: string) => *, mayBeAsked: (id: string) => boolean, isPlanned: (what: string) => boolean,
 *   isPlanKnown: boolean}} facts
 */
export function mayHold(conditions = [], facts) {
  return conditions.every((condition) => mayComeTrue(condition, facts));
}

function mayComeTrue(condition, facts) {
  if (condition.any) return condition.any.some((inner) => mayComeTrue(inner, facts));
  if (condition.plan && !facts.isPlanKnown) return true;
  if (condition.is && valuesOf(condition.field, facts).includes(null)) return facts.mayBeAsked(condition.field)
    || holds(condition, facts);
  return holds(condition, facts);
}
