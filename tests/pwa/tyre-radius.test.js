// The radius of a tyre from the size on its sidewall. Overall diameters as tyre makers' size tables print them (from
// memory).

import { radiusFromSize } from "/js/domain/job/tyre-radius.js";
import { equal, ok, test } from "./harness.js";

const DIAMETER_MM = { "205/55 R16": 632, "195/65R15 91H": 635, "175/65 R14": 584, "225/45 ZR 17": 634, "255/35R19": 661,
  "215/75 R16C": 728 };

test("half of the overall diameter that tables give for the size", () => {
  for (const [size, diameter] of Object.entries(DIAMETER_MM)) {
    ok(Math.abs(radiusFromSize(size) - diameter / 2) <= 1, `${size}: ${radiusFromSize(size)}`);
  }
});

test("what is no size of this writing gives none", () => {
  for (const size of ["", null, "205", "7.50 R16", "205/55", "31x10.5 R15", "205/5 R16", "55/205 R16", "205/55 R60",
      "1205/55 R16", "16", "205/55 R167"]) {
    equal(radiusFromSize(size), null, String(size));
  }
});
