"""What the tests of the drawings share: a small phone's page that shows one widget, and ring sets to draw."""

PHONE = {"width": 360, "height": 740}

SHOW = """async (what) => (await import("/tests/drawings-page.js")).show(what)"""
PLACES = """async ([selector, ...points]) =>
    (await import("/tests/drawings-page.js")).placesOf(selector, ...points)"""
CONTRASTS = """async () => (await import("/tests/drawings-page.js")).leastContrasts()"""
TROUBLES = """async () => (await import("/tests/drawings-page.js")).textTroubles()"""


def ring(**more) -> dict:
    return {
        "marks": 54,
        "first_mark": 1,
        "direction": "clockwise",
        "marked_face_right": "inboard",
        "taper_mdeg": 550,
        "taper_sd_mdeg": 8,
        "thick_mark": 1.0,
        "centre_thickness_mm": 2.4,
        "outer_diameter_mm": 148.0,
        "bore_diameter_mm": 62.0,
        **more,
    }


def ring_set(inner: dict, outer: dict, **more) -> dict:
    return {
        "format": 1,
        "id": "s",
        "name": "S",
        "revision": 1,
        "max_tilt_mdeg": None,
        "inner": inner,
        "outer": outer,
        **more,
    }
