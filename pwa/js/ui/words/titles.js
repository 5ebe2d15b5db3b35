/** The titles of a sheet and of a row: all that the list of jobs says of them. */

/** @returns {string} the title of a sheet, with its round from the second on */
export function sheetTitle(t, { id, wheel, round }) {
  const place = t(wheel ? `sheet.${id}.title.${wheel}` : `sheet.${id}.title`);
  if (round === 0) return `${t("sheet.take-out")}: ${place}`;
  return round > 1 ? t("ui.step.in-round", { place, round }) : place;
}

/** @returns {string} the title of a row alone: its side stands beside it */
export function rowTitle(t, row) {
  return t(`row.${row.id}.title`, row.params ?? {});
}
