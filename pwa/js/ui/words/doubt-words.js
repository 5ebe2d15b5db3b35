/**
 * What the measuring could not vouch for in a ring set's data, in words: on the plan, in the consent, in the report.
 */

/** @returns {string} one doubt; a later server may know more of them */
export function doubtWords(t, code) {
  const words = t(`doubt.${code}`);
  return words === `doubt.${code}` ? code : words;
}

/** @returns {string} "The data of ring set Spring 54 are in doubt: ..." */
export function doubtedWords(t, name, doubts) {
  return t("fitting.doubted", { set: name, doubts: doubts.map((code) => doubtWords(t, code)).join(" ") });
}
