/** After what fasteners are to be rechecked, and by which source, in words. */

/**
 * @param {function} t
 * @param {Object} parts as rechecksOf gives them
 * @returns {string} such as "after 50–100 km, by 84310 km; by 2026-12-24; service information, sheet 12"
 */
export function recheckWords(t, { distance, day, source, page }) {
  const after = distance && t("recheck.after", { distance: distance.text, unit: t(`unit.${distance.unit}`) });
  const words = [
    after && (distance.by === null ? after
      : t("recheck.after-by", { after, odometer: `${distance.by} ${t(`unit.${distance.unit}`)}` })),
    day && t("recheck.by-day", { day }),
    t(`recheck.source.${source ?? "none"}`) + (page ? `, ${page}` : ""),
  ];
  return words.filter(Boolean).join("; ");
}
