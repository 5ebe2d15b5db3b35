"""Random ring sets and `choose` inputs for property tests. It asserts nothing."""

from hypothesis import strategies as st

from fixtures.golden.choose_cases import ring, ring_set


@st.composite
def rings(draw, most_marks=9, most_taper=1500):
    marks = draw(st.integers(3, most_marks))
    return ring(
        marks,
        draw(st.integers(1, most_taper)),
        draw(st.one_of(st.integers(-marks, 2 * marks).map(float), st.floats(-marks, 2 * marks))),
        draw(st.sampled_from(["clockwise", "counterclockwise"])),
        draw(st.sampled_from(["inboard", "outboard"])),
        draw(st.integers(0, 3)),
        draw(st.integers(0, 30)),
        thickness=10.0,
    )


@st.composite
def ring_sets(draw, name="set", most_marks=9):
    inner = draw(rings(most_marks))
    outer = draw(st.one_of(st.just(inner), rings(most_marks)))
    return ring_set(name, inner, outer, draw(st.one_of(st.none(), st.integers(1, 3000))))


@st.composite
def windows(draw, low, high, widest):
    if draw(st.booleans()):
        return None
    bottom = draw(st.integers(low, high))
    window = [bottom, bottom + draw(st.integers(0, widest))]
    open_edge = draw(st.sampled_from([None, None, None, 0, 1]))
    return [None if place == open_edge else edge for place, edge in enumerate(window)]


@st.composite
def choose_inputs(draw):
    """Any windows null, narrow or at odds with each other; bases near, far and equal; up to three small ring sets."""
    count = draw(st.integers(1, 3))
    near = st.integers(-1700, -300), st.integers(-200, 500)
    far = st.integers(-5000, 5000), st.integers(-3000, 3000)
    wheels, own = {}, {}
    for side in ("left", "right"):
        camber, toe = draw(st.sampled_from([near, far]))
        wheels[side] = {"camber": draw(camber), "toe": draw(toe), "rings": draw(st.sampled_from(["auto", "yes", "no"]))}
        aim = draw(st.one_of(st.none(), st.tuples(st.integers(-2000, 0), st.integers(-300, 400)).map(list)))
        own[side] = {"camber": draw(windows(-1800, 0, 1000)), "toe": draw(windows(-300, 300, 300)), "aim": aim}
    axle = {
        "total_toe": draw(windows(-400, 400, 300)),
        "thrust": draw(windows(-200, 200, 200)),
        "cross_camber": draw(windows(-600, 600, 600)),
    }
    case = {"ring_sets": [draw(ring_sets(f"set-{k}")) for k in range(count)]}
    case |= {"wheels": wheels, "windows": own, "axle": axle}
    band = draw(st.sampled_from([None, {}, {"toe": 1}, {"camber": 7, "toe": 11}, {"camber": 300}]))
    return case if band is None else {**case, "band": band}
