// The two wheels of an axle and the two rings of a set, in the order in which everything names them.
// Made by `python -m fixtures.make_constants`: change what it is made from, and run that.

// calc/numbers/sides.py
export const SIDES = Object.freeze(["left", "right"]);
export const RINGS = Object.freeze(["inner", "outer"]);
