"""The ring-set forms filled in: by data, by thickness, by a paper's rows; and what the phones are told."""

import json
import math
from pathlib import Path

EXAMPLE = Path(__file__).resolve().parents[2] / "fixtures" / "examples" / "measure.json"
RING = {
    "marks": "40", "first_mark": "1", "direction": "clockwise", "marked_face_right": "inboard", "taper_mdeg": "0,55",
    "taper_sd_mdeg": "0.008", "thick_mark": "12.5", "centre_thickness_mm": "2.4", "outer_diameter_mm": "148",
    "bore_diameter_mm": "62",
}  # fmt: skip


def fields(ring=RING, **changes):
    both = {f"{side}.{name}": part for side in ("inner", "outer") for name, part in ring.items()}
    return {"name": "Bought in spring", "max_tilt_mdeg": "", "revision": "0", "act": "keep"} | both | changes


def listed(desk):
    return desk.client.get("/api/ring-sets?knows=trusted").json["ring_sets"]


def wave(mark, taper=0.55, peak=20.0, radius=70.0, centre=2.4, marks=54):
    return centre + math.tan(math.radians(taper)) * radius * math.cos(2 * math.pi * (mark - peak) / marks)


def thickness_fields(readings, **changes):
    shape = {"marks": "54", "first_mark": "1", "direction": "clockwise", "marked_face_right": "inboard",
             "outer_diameter_mm": "148", "bore_diameter_mm": "62", "radius_mm": "70", "tool_sd_mm": ""}  # fmt: skip
    lines = {"readings": "\n".join(f"{mark} {mm:.3f}" for mark, mm in readings)}
    return fields(shape | lines, **changes)


GOOD = [(mark, wave(mark)) for mark in range(1, 54, 6)]


def paper_fields(rows=None, **changes):
    example = json.loads(EXAMPLE.read_text("utf-8"))["input"]
    typed = {
        "name": "Paper rings",
        "max_tilt_mdeg": "",
        "revision": "0",
        "act": "keep",
        "units.diameter_mm": "",
        "units.camber_step": "",
        "units.toe_step": "",
        "rows_say": example["rows_say"],
    }
    for side in ("inner", "outer"):
        typed |= {f"{side}.{key}": str(part) for key, part in example[side].items()}
    typed |= {f"units.{key}": part for key, part in example["units"].items()}
    rows = example["rows"] if rows is None else rows(example["rows"])
    typed["rows"] = "\n".join(f"{row['pair'][0]}; {row['pair'][1]}; {row['camber']}; {row['toe']}" for row in rows)
    return typed | changes
