/**
 * What sits at a wheel by the record, in one line: ring set, marks, bolts, and what nobody has ticked or could read.
 */

/**
 * @param {function} t
 * @param {Object|null} fitting as fittingOf gives it
 * @param {Object<string, string>} names of the ring sets, by id
 */
export function fittingWords(t, fitting, names) {
  if (!fitting) return t("ui.pair.none");
  const { found = false, ring_set: ringSet, pair: [inner, outer], bolts = null, seen = true } = fitting;
  const set = names[ringSet] ?? ringSet ?? t("history.set-unknown");
  if (found) return t("history.found", { set, inner: inner ?? "?", outer: outer ?? "?" });
  return [t("ui.pair", { set, inner, outer }), bolts && boltWords(t, bolts), !seen && t("history.not-seen")]
    .filter(Boolean).join("; ");
}

function boltWords(t, { new: isNew, length_mm: length, class: grade }) {
  const size = [length && `${length} mm`, grade].filter(Boolean).join(", ");
  return size ? t(isNew ? "history.bolts.new" : "history.bolts", { size }) : "";
}
