// VINs against the published example and what the rule says of its own digits.

import { checkDigitOf, readVin } from "/js/domain/job/vin.js";
import { deepEqual, equal, fixture, test, throws } from "./harness.js";

test("published examples", async () => {
  const { cases } = await fixture("golden/vin.json");
  for (const { text, vin, check_digit: checkDigit, source } of cases)
    deepEqual(readVin(text), { vin, checkDigit }, source);
});

test("every single wrong character in the example is found, except among characters of one value", () => {
  const vin = "1M8GDM9AXKP042788";
  const alphabet = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ";
  let found = 0;
  for (let place = 0; place < 17; place += 1) {
    if (place === 8) continue;
    for (const other of alphabet) {
      const changed = vin.slice(0, place) + other + vin.slice(place + 1);
      if (checkDigitOf(changed) !== "X") found += 1;
    }
  }
  // 16 places, 32 other characters each; letters share their values with a digit and up to two other letters
  equal(found > 16 * 27, true, `${found} found`);
});

test("what is no VIN says why", () => {
  throws(() => readVin("1M8GDM9AXKP04278"), { code: "vin-length" });
  throws(() => readVin("1M8GDM9AXKP0427880"), { code: "vin-length" });
  throws(() => readVin("IM8GDM9AXKP042788"), { code: "vin-character" });
  throws(() => readVin(""), { code: "vin-length" });
});
