"""The checklist's content: every clause of the trade's safety order is there, and every text of it in both languages.

The clauses stand in checklist_clauses.py; codes are compared with those that calc gives.
"""

import json
import re
from pathlib import Path

import pytest
from checklist_clauses import HOLDS, SAFETY_ORDER, SAID, SAID_GOING_IN

from calc.choose import advice
from calc.fit import fit, fit_input, gate, gate_words
from calc.numbers.sides import SIDES
from calc.prove import causes, prove, toe_slips

PWA = Path(__file__).resolve().parents[2] / "pwa"
LANGUAGES = ("en", "es")
TYPES = {"tick", "choice", "text", "number", "photo", "torque", "card"}
SIGNAL_WORDS = {"danger", "warning", "caution"}  # ISO 3864-2
ADVICE = {
    "reread-left", "reread-right", "skewed-axle", "one-wheel-off", "height-or-load", "beyond-usual", "out-of-reach",
}  # fmt: skip
CAUSES = {
    causes.AS_PLANNED, causes.BETWEEN_FACES, causes.THIN_DIRT, *prove.LOOK_AT, "nothing-fitted", "faces-reversed",
    "one-ring-turned-over", "pair-turned-on-bolts", "pair-off-clock", "top-taken-hanging", "marks-off",
    "marks-exchanged", "digits-mistaken", "left-right-exchanged", "other-set", "toe-sign-mistaken",
    "toe-unit-mistaken", "old-rings-at-base",
}  # fmt: skip

# A title is read with gloves on in bad light: one short sentence. Spanish needs about a quarter more room.
LONGEST = {
    "en": {"title": 85, "method": 150, "caution": 130, "why": 120},
    "es": {"title": 106, "method": 190, "caution": 165, "why": 150},
}

SHEETS = [
    "vehicle", "condition", "readings", "possible", "plan", "bench", "lift", "wheel", "down", "check", "finish",
]  # fmt: skip


@pytest.fixture(scope="module")
def checklist() -> dict:
    return json.loads((PWA / "checklist.json").read_text("utf-8"))


def rows_of(sheet: dict) -> list[dict]:
    return [row for part in sheet.get("pauses", [sheet]) for row in part["rows"]]


@pytest.fixture(scope="module")
def rows(checklist) -> list[dict]:
    return [row for sheet in checklist["sheets"] for row in rows_of(sheet)]


@pytest.fixture(scope="module")
def texts() -> dict[str, dict[str, str]]:
    return {language: read_texts(language) for language in LANGUAGES}


def read_texts(language: str) -> dict[str, str]:
    """Return the texts of the rows and of what is answered there, which stand in three files."""
    pairs = []
    for name in ("checklist", "sheets", "titles"):
        text = (PWA / "text" / language / f"{name}.json").read_text("utf-8")
        pairs += json.loads(text, object_pairs_hook=list)
    keys = [key for key, _ in pairs]
    assert len(keys) == len(set(keys)), f"{language}: a key stands twice"
    return dict(pairs)


def option_codes(checklist, what: str) -> set[str]:
    return {option[what] for options in checklist["option_sets"].values() for option in options if what in option}


def expected_keys(checklist, rows) -> set[str]:
    """Every key that data and computed codes can ask for; methods and reasons are optional and counted apart."""
    keys = {*(f"signal.{word}" for word in SIGNAL_WORDS)}
    keys |= {f"row.{row['id']}.title" for row in rows}
    keys |= {f"row.{row['id']}.caution" for row in rows if "caution" in row}
    keys |= {f"row.{row['id']}.in-force" for row in rows if "stays" in row}
    keys |= {f"chip.{row['id']}.{chip}" for row in rows for chip in row.get("chips", [])}
    keys |= {f"unit.{unit}" for row in rows for unit in row.get("units", [])}
    keys |= {f"option.{name}.{o['id']}" for name, options in checklist["option_sets"].items() for o in options}
    for sheet in checklist["sheets"]:
        sides = (".left", ".right") if sheet.get("per") == "wheel" else ("",)
        keys |= {f"sheet.{sheet['id']}.title{side}" for side in sides} | {f"sheet.{sheet['id']}.place"}
        for pause in sheet.get("pauses", []):
            keys |= {f"pause.{sheet['id']}.{pause['id']}.title"} | {f"going-in.{line}" for line in pause["going_in"]}
    refusals, warnings = option_codes(checklist, "refuse"), option_codes(checklist, "warn")
    keys |= {
        f"refusal.{code}" for code in refusals | computed_refusals() | {"bolts-short", "bolts-too-long", "bolts-weaker"}
    }
    keys |= {
        f"warning.{code}"
        for code in warnings
        | computed_warnings()
        | {"part-to-order", "consent-anew", "consent-other-plan", "driven-no-nut", "bolts-stay"}
    }
    keys |= {f"advice.{code}{part}" for code in ADVICE for part in ("", ".look")}
    keys |= {f"cause.{code}{part}" for code in CAUSES for part in ("", ".look")}
    keys |= {f"cause.unit.{code}" for code in toe_slips.slip_factors()}
    keys |= {f"single-use.{item}" for row in rows for item in row.get("items", [])}
    return keys | {f"single-use-state.{state}" for state in ("at-hand", "not-needed", "to-order", "replaced")}


def source_of(module) -> str:
    return Path(module.__file__).read_text("utf-8")


def computed_warnings() -> set[str]:
    return set(re.findall(r'gate\.warn\(\s*"([a-z-]+)"', source_of(gate) + source_of(fit)))


def computed_refusals() -> set[str]:
    return set(gate_words.WORDS) - computed_warnings()


def test_sheets_come_in_the_order_of_the_work(checklist):
    assert [sheet["id"] for sheet in checklist["sheets"]] == SHEETS
    two_of_each = [sheet["id"] for sheet in checklist["sheets"] if sheet.get("per") == "wheel"]
    assert len(SHEETS) + len(two_of_each) == 13


def test_rows_are_well_formed(checklist, rows):
    known = {"id", "type", "hold", "holds", "required", "passable", "caution", "per", "when", "options", "usual",
             "units", "format", "card", "slot", "items", "gate", "remembered", "closes", "also", "more", "beside",
             "side", "table", "chips", "stays", "together", "offered", "torques", "groups",
             "required_from"}  # fmt: skip
    ids = [row["id"] for row in rows]
    assert len(ids) == len(set(ids))
    for row in rows:
        assert set(row) <= known, row["id"]
        assert re.fullmatch(r"[a-z]+\.[a-z]+(-[a-z]+)*", row["id"])
        assert row["type"] in TYPES, row["id"]
        assert row.get("caution", "danger") in SIGNAL_WORDS, row["id"]
        assert (row["type"] == "choice") == ("options" in row), row["id"]
        assert (row["type"] == "number") == ("units" in row), row["id"]
        assert (row["type"] == "card") == ("card" in row), row["id"]
        assert not (row.get("hold") and (row.get("required") is False or "required_from" in row)), row["id"]
        assert row.get("hold") or not {"passable", "holds"} & set(row), row["id"]
        assert row.get("stays", ids[0]) in ids, row["id"]
        if "usual" in row:  # no answer that refuses or warns is ever given by one tap for many rows
            (option,) = [o for o in checklist["option_sets"][row["options"]] if o["id"] == row["usual"]]
            assert not {"refuse", "warn"} & set(option), row["id"]


def test_one_tap_for_several_rows_stands_where_nobody_is_hurt_and_nowhere_else(checklist):
    groups: dict[str, list[str]] = {}
    for sheet in checklist["sheets"]:
        for row in rows_of(sheet):
            if "together" not in row:
                continue
            groups.setdefault(f"{sheet['id']} {row['together']}", []).append(row["id"].split(".")[1])
            assert sheet["place"] not in {"wheel", "car"}, "no group at a raised wheel, nor before lifting"
            assert not {"hold", "gate", "caution", "more"} & set(row), row["id"]
            assert row["type"] == "tick" or "usual" in row, row["id"]
    assert groups == {
        "condition wear": ["tyres", "wear-rear-left", "wear-rear-right", "wear-front-left", "wear-front-right"],
        "condition inspection": ["bearings", "bushes-springs", "structure"],
        "readings before-reading": ["compensation", "settled"],
        "bench ring-set": ["right-set", "named", "marks-meet"],
        "check before-check": ["plates-free", "compensation", "settled", "same-load"],
        "finish electronics": ["lamps", "wheel-speed"],
        "finish road": ["road-test-result", "steering-straight"],
    }


def test_every_option_set_is_used(checklist, rows):
    by_the_stop_screen = {"stop-reason", "stop-vehicle"}
    used = {row["options"] for row in rows if "options" in row}
    assert used | by_the_stop_screen == set(checklist["option_sets"])


def test_the_phone_draws_every_card_of_the_data_and_no_other(rows):
    file = (PWA / "js" / "ui" / "sheets" / "rows" / "rows.js").read_text("utf-8")
    (listed,) = re.findall(r"^const CARDS = \{$(.*?)^\};$", file, re.MULTILINE | re.DOTALL)
    drawn = set(re.findall(r'^ {2}"?([a-z-]+)"?: ', listed, re.MULTILINE))
    assert {row["card"] for row in rows if "card" in row} == drawn


def conditions(holder: dict) -> list[dict]:
    return [inner for outer in holder.get("when", []) for inner in outer.get("any", [outer])]


def test_conditions_ask_what_an_earlier_row_answers(checklist):
    options_of: dict[str, set[str]] = {}
    for sheet in checklist["sheets"]:
        for row in rows_of(sheet):
            for condition in [*conditions(sheet), *conditions(row)]:
                if "field" in condition:
                    asked = condition.get("is") or condition.get("not") or condition["none"]
                    assert set(asked) <= options_of[condition["field"]], row["id"]
                else:
                    assert set(condition) <= {"plan", "found", "unticked", "ending"}, row["id"]
            if "options" in row:
                options_of[row["id"]] = {option["id"] for option in checklist["option_sets"][row["options"]]}


@pytest.mark.parametrize(("clause", "first", "then"), SAFETY_ORDER, ids=[row[0] for row in SAFETY_ORDER])
def test_safety_order(rows, clause, first, then):
    ids = [row["id"] for row in rows]
    assert ids.index(first) < ids.index(then), clause


def test_the_holds_are_these(rows):
    assert {row["id"] for row in rows if row.get("hold")} == HOLDS


@pytest.mark.parametrize(("row", "part", "pattern"), SAID, ids=[f"{line[0]}: {line[2]}" for line in SAID])
def test_the_clause_is_said(texts, row, part, pattern):
    assert re.search(pattern, texts["en"][f"row.{row}.{part}"])


@pytest.mark.parametrize(("pause", "pattern"), SAID_GOING_IN, ids=[f"{line[0]}: {line[1]}" for line in SAID_GOING_IN])
def test_the_clause_is_said_going_in(checklist, texts, pause, pattern):
    (lines,) = [
        each["going_in"] for sheet in checklist["sheets"] for each in sheet.get("pauses", []) if each["id"] == pause
    ]
    assert any(re.search(pattern, texts["en"][f"going-in.{line}"]) for line in lines)


@pytest.mark.parametrize("language", LANGUAGES)
def test_texts_are_complete_and_no_row_has_one_left_over(checklist, rows, texts, language):
    expected = expected_keys(checklist, rows)
    optional = {f"row.{row['id']}.{part}" for row in rows for part in ("method", "why")}
    present = set(texts[language])
    assert not expected - present, "missing"
    spoken = ("row.", "sheet.", "pause.", "going-in.", "chip.", "option.", "refusal.", "cause.", "single-use")
    left = {key for key in present - expected - optional if key.startswith(spoken)}
    assert left <= {"sheet.take-out"}, "used by nothing"
    assert present & optional == set(texts["en"]) & optional


@pytest.mark.parametrize("language", LANGUAGES)
def test_texts_are_short_plain_and_hold_the_same_placeholders(texts, language):
    for key, text in texts[language].items():
        assert text == text.strip() != "", key
        assert re.findall(r"\{\w+\}", text) == re.findall(r"\{\w+\}", texts["en"][key]), key
        assert "\n" not in text, key
        limit = LONGEST[language].get(key.rsplit(".", 1)[1] if key.startswith("row.") else "", 220)
        assert len(text) <= limit, f"{key}: {len(text)} characters, at most {limit}"


def test_spanish_is_not_english(texts):
    said = {key: re.sub(r"\{\w+\}", "", text) for key, text in texts["en"].items()}
    same = {key for key, text in texts["es"].items() if text == texts["en"][key] and re.search(r"[a-z]{3}", said[key])}
    assert same <= {"sheet.plan.title", "row.choose.plan.title", "result.plan"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_gives_a_torque_or_a_limit(texts, language):
    figures = {key for key, text in texts[language].items() if re.search(r"\d", text)}
    # 6 and 9 are digits that are mistaken for each other; 50 to 100 km is the one figure the trade itself gives
    pauses = {key for key in figures if key.startswith("pause.")}  # they are numbered
    assert figures - pauses == {
        "row.prepare.marks-meet.method", "row.finish.recheck-after.why", "step.finish.recheck-slip.title",
        "cause.digits-mistaken",
    }  # fmt: skip


def test_codes_of_advice_are_those_that_choosing_gives():
    codes = set(re.findall(r'^ {8}"([a-z-]+)":', source_of(advice), re.MULTILINE))
    a_wheel = re.findall(r'f"([a-z-]+)\{side\}":', source_of(advice))
    assert codes | {code + side for code in a_wheel for side in SIDES} == ADVICE


def test_codes_of_causes_are_those_that_proving_gives():
    named = set(re.findall(r'(?:Candidate|_fitted)\(\s*"([a-z-]+)"', source_of(causes)))
    named |= set(re.findall(r'ToeSlip\(\s*"([a-z-]+)"', source_of(toe_slips)))
    assert named | {"marks-off", "digits-mistaken"} == CAUSES - {
        causes.AS_PLANNED,
        causes.BETWEEN_FACES,
        causes.THIN_DIRT,
        *prove.LOOK_AT,
    }


def test_answers_and_the_computed_gate_speak_of_the_same_things(checklist, rows):
    sets = checklist["option_sets"]
    for name, options in (("mounting", "mounting"), ("driven", "driven"), ("ring_place", "ring-place"),
                          ("sensor", "sensor"), ("brake", "brake"), ("bracket", "bracket")):  # fmt: skip
        assert {option["id"] for option in sets[options]} == set(fit_input.VEHICLE_CHOICES[name]), name
    computed = computed_refusals()
    gate_sets = {row["options"] for row in rows if row.get("gate") and "options" in row}
    asked = {option["refuse"] for name in gate_sets for option in sets[name] if "refuse" in option}
    assert asked <= computed
