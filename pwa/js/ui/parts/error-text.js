/**
 * What an error says to the person: what was wrong, what was expected, what to do next. An error without
 * a text of its own is shown with its own words rather than hidden.
 */

/**
 * @param {function} t translator
 * @param {Error & {code?: string, field?: string, params?: Object}} error
 * @returns {string}
 */
export function errorText(t, error) {
  const key = `error.${error.code}`;
  if (!t.has(key)) return t("error.unknown", { message: error.message ?? String(error) });
  const fieldKey = `ui.field.${error.field}`;
  return t(key, { ...error.params, field: t.has(fieldKey) ? t(fieldKey) : error.field ?? "" });
}
