"""The two wheels of an axle and the two rings of a set, in the order in which everything names them."""

SIDES = ("left", "right")
RINGS = ("inner", "outer")
