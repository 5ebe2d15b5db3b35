// The server's codes for a photo that it will not take as it is, however often it comes.
// Made by `python -m fixtures.make_constants`: change what it is made from, and run that.

// server/web/errors.py
/** by these a photo is never taken as it is; not wanted counts, as its entry is held when it goes */
export const PHOTO_REFUSED = Object.freeze([
  "photo-empty", "photo-different", "photo-format", "photo-not-wanted", "photo-too-many-pixels", "too-large",
]);
