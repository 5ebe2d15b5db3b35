// The two wheels of an axle, in the order in which everything names them.

export const SIDES = Object.freeze(["left", "right"]);
