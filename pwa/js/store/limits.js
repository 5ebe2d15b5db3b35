// How much the server takes at once, and how long it speaks of a closed job.
// Made by `python -m fixtures.make_constants`: change what it is made from, and run that.

// server/limits.py
/** in one request and in one answer */
export const MOST_ENTRIES = 500;
/** characters of a registration or a VIN, which has 17 (ISO 3779); with room for a remark */
export const LONGEST_PLATE = 100;
/** of JSON in one request: plans are large, and a body is refused as a whole */
export const MOST_CHARACTERS_SENT = 4_000_000;
/** bytes */
export const LARGEST_PHOTO = 20_000_000;
/** a phone's clock that is wrong by less does not make a job sheet hard to read */
export const CLOCK_NOTICED_MS = 300_000;
/** how long after its last change a closed job still reaches the phones */
export const KEPT_ON_PHONES_MS = 2_592_000_000;
/** an open job for which nothing came so long is named at the desk */
export const OPEN_TOO_LONG_MS = 7_776_000_000;
/** jobs that a phone may hold whole */
export const MOST_WHOLE = 5000;
