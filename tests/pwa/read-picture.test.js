// What touches on a picture say, and how sharp it is: the same as Python says.

import { answerInto } from "/js/domain/job/row-answers.js";
import { isPictureRead, pictureSlot, readingOf } from "/js/domain/job/picture-reading.js";
import { glareShare, sharpness } from "/js/domain/picture/quality.js";
import { marksToTouch, readPicture } from "/js/domain/picture/read-picture.js";
import { deepEqual, equal, fixture, near, ok, test } from "/tests/harness.js";

const golden = await fixture("golden/picture.json");

test("every recorded picture says what Python says", () => {
  for (const { asked, said } of golden.cases) {
    const { at_line: atLine, ...rest } = readPicture(asked);
    const { at_line: wanted, ...others } = said;
    deepEqual(rest, others);
    if (wanted === null) equal(atLine, null);
    else near(atLine, wanted, 0.0101);
  }
  const verdicts = new Set(golden.cases.map(({ said }) => said.verdict));
  ok(verdicts.size === 3, `all three verdicts are among them: ${[...verdicts]}`);
});

test("the same numbers are asked for", () => {
  for (const { ring, marks } of golden.asked) deepEqual(marksToTouch(ring), marks);
});

test("pictures are as sharp and as clipped as Python says", () => {
  for (const picture of golden.quality) {
    near(sharpness(picture), picture.sharpness, 2e-9);
    near(glareShare(picture), picture.glare, 2e-9);
  }
});

test("what an entry holds of a reading is judged as the server judges it", () => {
  golden.readings.forEach(({ value, is_read: isRead }, k) => equal(isPictureRead(value), isRead, `value ${k}`));
});

test("a reading belongs to its photo, and what people differ about is none", () => {
  const photo = { id: "p1", body: { about: "round.2.fit.left.witness-line" } };
  const [{ value }] = golden.readings;
  const slot = pictureSlot(photo.body.about, photo.id);
  equal(slot, "round.2.fit.left.picture.p1");
  equal(readingOf({ slots: {} }, photo), null);
  equal(readingOf({ slots: { [slot]: [{ body: { value } }] } }, photo), value.picture_read);
  equal(readingOf({ slots: { [slot]: [{ body: { value } }, { body: { value: null } }] } }, photo), null);
  equal(readingOf({ slots: { [slot]: [{ body: { value: null } }] } }, photo), null);
});

test("touches that are no picture of a circle say nothing", () => {
  const { asked } = golden.cases[0];
  const alike = { ...asked, marks: asked.marks.map(([mark]) => [mark, 700, 500]) };
  equal(readPicture(alike).verdict, "cannot-tell");
  equal(readPicture(alike).why, "touches-apart");
});

test("only a later picture of the same ring takes a doubt away", () => {
  const { value } = golden.readings.find(({ is_read: isRead }) => isRead);
  const about = "fit.left.witness-line";
  const warningOf = (...said) => {
    const at = (minute) => `2026-03-02T08:0${minute}:00Z`;
    const photos = said.map(([, , minute], k) => ({ id: `p${k}`, at: at(minute), body: { about } }));
    const slots = Object.fromEntries(said.map(([ring, verdict], k) => {
      const read = { ...value.picture_read, ring, said: { ...value.picture_read.said, verdict, mark: 12 } };
      return [pictureSlot(about, `p${k}`), [{ body: { value: { picture_read: read } } }]];
    }));
    const row = { slot: about, type: "photo", round: 1, wheel: "left" };
    answerInto(row, { slots, plans: [], photos, conflicts: [] }, { photos: new Map([[about, photos]]), begunWith: 2 });
    return row.warning;
  };
  const differs = ["inner", "differs", 1];
  equal(warningOf(differs), "picture-differs");
  equal(warningOf(differs, ["inner", "agrees", 2]), null);
  equal(warningOf(differs, ["outer", "agrees", 2]), "picture-differs", "it says nothing of the other ring");
  equal(warningOf(["inner", "agrees", 0], differs), "picture-differs", "what came after is not what was before");
  equal(warningOf(differs, ["inner", "cannot-tell", 2]), "picture-differs");
});
