// The two wheels of an axle and the two rings of a set, in the order in which everything names them.

export const SIDES = Object.freeze(["left", "right"]);
export const RINGS = Object.freeze(["inner", "outer"]);
