/**
 * Takes an answer back: what stood there before counts again. A first answer goes back into its field, unkept, to be
 * mended. It says what was taken back and what counts now, at the step that it is about. Nothing is erased.
 */

import { KIND } from "../domain/job/entry.js";
import { Draft } from "./parts/draft.js";
import { answerWords, stepName, stepShowing } from "./words/step-words.js";

/**
 * @param {App} app
 * @param {JobModel} job
 * @param {{entry: Object, content: Object}[]} undone what is taken back, newest first, each with the entry to write instead
 * @param {{undoable?: boolean}} [options] of saving
 * @returns {Promise<void>} nothing is said where it could not be saved: the alarm says that
 */
export async function takeBack(app, job, undone, options) {
  const [{ entry, content }] = undone;
  const step = stepShowing(job, entry.slot);
  const again = answerOf(app, step, content);
  if (!again) await bringBack(app, step, entry); // before the store changes and the step draws itself anew
  for (const [at, { content: each }] of undone.entries()) {
    if (!(await app.save(each, options))) return app.undo.putBack(undone.slice(at + 1)); // the alarm tries this one again
  }
  if (!step) return app.say(app.t("ui.undo.done"));
  const words = { step: stepName(app.t, step), was: answerOf(app, step, entry), again };
  const key = !words.was ? "ui.undo.done.step" : again ? "ui.undo.done.again" : "ui.undo.done.was";
  return app.goSaying(app.t(key, words), { screen: "step", job: job.id, slot: step.slot });
}

/** "" where the entry says that there is no answer, or is about a part of its step alone. */
function answerOf({ t }, step, { kind, slot, body }) {
  const isNone = kind === KIND.STEP_UNDONE || (kind === KIND.FIELD_SET && (body.value ?? null) === null);
  return isNone || step?.slot !== slot ? "" : answerWords(t, step, { kind, body });
}

async function bringBack(app, step, { job, slot, kind, body }) {
  const typed = step?.slot === slot && typedOf(step, kind, body);
  if (typed) await new Draft(app.phone, `step.${job}.${slot}`).write(typed);
}

/** What the step's fields held when it was kept; null where there is nothing to type. */
function typedOf({ type, panel }, kind, body) {
  if (kind === KIND.CONSENT_RECORDED) return body;
  if (kind !== KIND.FIELD_SET || !body.value) return null;
  const { text, unit, angle_deg: angle, source, typed } = body.value;
  if (type === "text" || panel === "single-use-list") return body.value;
  if (panel === "parts-used") return Object.keys(body.value);
  if (type === "number") return { text, unit };
  if (panel === "torque") return { torque: { text, unit }, angle: angle ? String(angle) : "", source };
  return typed ?? null;
}
