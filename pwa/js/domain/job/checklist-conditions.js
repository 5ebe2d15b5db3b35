// Decides whether a `when` condition of the checklist holds. Pure.

/**
 * @param {object[]} conditions all of which must hold; each is one of
 *   {"field": step id, "is": [values]}   holds once the answer is one of these
 *   {"field": step id, "not": [values]}  holds unless the answer is one of these: while it is unknown the step is shown,
 *                                        so that a caution is never hidden by a question nobody answered
 *   {"plan": "rings"}                    the wheel gets rings in this round; asked for the whole vehicle: some wheel does
 *   {"plan": "work"}                     the wheel is opened in this round
 *   {"plan": "old-pair"}                 the pair of an earlier round comes out there
 *   {"plan": "same-pair"}                the pair that goes in is the one that sat there: same ring set, same marks
 *   {"plan": "new-pair"}                 it is another, or the first
 *   {"plan": "bare"}                     it is opened and gets no rings: the pair comes out, and nothing goes in
 *   {"any": [conditions]}
 * @param {{valueOf: (id: string) => *, isPlanned: (what: string) => boolean}} facts
 * @throws {Error} for a condition of another form: the checklist is ours, so that is a bug
 */
export function allHold(conditions = [], facts) {
  return conditions.every((condition) => holds(condition, facts));
}

function holds(condition, facts) {
  if (condition.any) return condition.any.some((inner) => holds(inner, facts));
  if (condition.plan) return facts.isPlanned(condition.plan);
  if (condition.is) return condition.is.includes(facts.valueOf(condition.field));
  if (condition.not) return !condition.not.includes(facts.valueOf(condition.field));
  throw new Error(`checklist condition: expected "is", "not", "any" or "plan", got ${JSON.stringify(condition)}`);
}

/**
 * Whether the conditions hold, or may come to hold by an answer or a plan that is still to be given.
 * @param {object[]} conditions
 * @param {{valueOf: (id: string) => *, mayBeAsked: (id: string) => boolean, isPlanned: (what: string) => boolean, isPlanKnown: boolean}} facts
 */
export function mayHold(conditions = [], facts) {
  return conditions.every((condition) => mayComeTrue(condition, facts));
}

function mayComeTrue(condition, facts) {
  if (condition.any) return condition.any.some((inner) => mayComeTrue(inner, facts));
  if (condition.plan && !facts.isPlanKnown) return true;
  if (condition.is && facts.valueOf(condition.field) === null) return facts.mayBeAsked(condition.field);
  return holds(condition, facts);
}
