/** What touches on a picture of the rings said. The desk says the same: server/desk/words/picture_words.py. */

/**
 * @param {function} t
 * @param {object} read as domain/job/picture-reading.js holds it
 * @returns {string[]} sentences: what was found, then what follows of it
 */
export function pictureWords(t, { ring: name, planned, said }) {
  const ring = t(`picture.ring.${name}`);
  const marks = said.mark === null ? said.between && either(t, said.between) : String(said.mark);
  if (said.verdict === "agrees") return [t("picture.agrees", { ring, mark: marks })];
  if (said.verdict === "cannot-tell") {
    const key = `picture.why.${said.why}`;
    const why = t(t.has(key) ? key : "picture.why.other", { marks: marks ?? "" });
    return [t("picture.cannot-tell", { ring, why })];
  }
  const wanted = planned.length > 1 ? either(t, planned) : String(planned[0]);
  const found = said.face === "other-way"
    ? t("picture.differs.face", { ring, looks: t(`picture.looks.${said.looks}`) })
    : t("picture.differs.mark", { ring, mark: marks ?? "", planned: wanted });
  return [found, said.turn_deg ? t("picture.differs.turn") : null].filter(Boolean);
}

function either(t, [one, other]) {
  return t("picture.either", { one, other });
}
