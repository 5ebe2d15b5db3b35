"""The checklist's content: every clause of the trade's safety order is there, and every text of it in both languages.

The clauses stand in checklist_clauses.py; codes are compared with those that calc gives.
"""

import json
import re
from pathlib import Path

import pytest
from checklist_clauses import HOLDS, SAFETY_ORDER, SAID

from calc.choose import advice
from calc.fit import fit, fit_input, gate, gate_words
from calc.prove import causes, prove

PWA = Path(__file__).resolve().parents[2] / "pwa"
LANGUAGES = ("en", "es")
TYPES = {"tick", "choice", "text", "number", "photo", "panel"}
SIGNAL_WORDS = {"danger", "warning", "caution"}  # ISO 3864-2
PANELS = {
    "can-rings-go-in", "readings", "windows", "plan", "consent", "single-use-list", "torque", "check-readings", "proof",
    "front-readings", "sign", "stop", "pressures", "parts-used", "bolts", "bracket", "fitting-aids",
    "level-ride", "level-hanging",
}  # fmt: skip
ADVICE = {
    "reread-left", "reread-right", "skewed-axle", "one-wheel-off", "height-or-load", "beyond-usual", "out-of-reach",
}  # fmt: skip
CAUSES = {
    causes.AS_PLANNED, causes.BETWEEN_FACES, *prove.LOOK_AT, "nothing-fitted", "faces-reversed", "one-ring-turned-over",
    "pair-turned-on-bolts", "top-taken-hanging", "marks-off", "digits-mistaken", "left-right-exchanged", "other-set",
    "toe-sign-mistaken", "toe-unit-mistaken", "old-rings-at-base",
}  # fmt: skip

# A title is read with gloves on in bad light: one short sentence. Spanish needs about a quarter more room.
LONGEST = {"en": {"title": 70, "detail": 150, "caution": 120}, "es": {"title": 88, "detail": 190, "caution": 150}}

STAGES = ["vehicle", "base", "choose", "prepare", "fit", "check", "finish"]


@pytest.fixture(scope="module")
def checklist() -> dict:
    return json.loads((PWA / "checklist.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def steps(checklist) -> list[dict]:
    return [step for stage in checklist["stages"] for step in stage["steps"]]


@pytest.fixture(scope="module")
def texts() -> dict[str, dict[str, str]]:
    return {language: read_texts(language) for language in LANGUAGES}


def read_texts(language: str) -> dict[str, str]:
    pairs = json.loads((PWA / "text" / language / "checklist.json").read_text("utf-8"), object_pairs_hook=list)
    keys = [key for key, _ in pairs]
    assert len(keys) == len(set(keys)), f"{language}: a key stands twice"
    return dict(pairs)


def option_codes(checklist, what: str) -> set[str]:
    return {option[what] for options in checklist["option_sets"].values() for option in options if what in option}


def expected_keys(checklist, steps) -> set[str]:
    """Every key that the data and the computed codes can ask for; details are optional and counted apart."""
    keys = {*(f"signal.{word}" for word in SIGNAL_WORDS), *(f"stage.{stage}" for stage in STAGES)}
    keys |= {f"step.{step['id']}.title" for step in steps}
    keys |= {f"step.{step['id']}.caution" for step in steps if "caution" in step}
    keys |= {f"unit.{unit}" for step in steps for unit in step.get("units", [])}
    keys |= {f"option.{name}.{o['id']}" for name, options in checklist["option_sets"].items() for o in options}
    refusals, warnings = option_codes(checklist, "refuse"), option_codes(checklist, "warn")
    keys |= {f"refusal.{code}" for code in refusals | computed_refusals()}
    keys |= {
        f"warning.{code}"
        for code in warnings | computed_warnings() | {"part-to-order", "consent-anew", "consent-other-plan"}
    }
    keys |= {f"advice.{code}{part}" for code in ADVICE for part in ("", ".look")}
    keys |= {f"cause.{code}{part}" for code in CAUSES for part in ("", ".look")}
    keys |= {f"cause.unit.{code}" for code in causes.UNIT_FACTORS}
    keys |= {f"single-use.{item}" for step in steps for item in step.get("items", [])}
    return keys | {f"single-use-state.{state}" for state in ("at-hand", "not-needed", "to-order", "replaced")}


def source_of(module) -> str:
    return Path(module.__file__).read_text("utf-8")


def computed_warnings() -> set[str]:
    return set(re.findall(r'gate\.warn\(\s*"([a-z-]+)"', source_of(gate) + source_of(fit)))


def computed_refusals() -> set[str]:
    return set(gate_words.WORDS) - computed_warnings()


def test_stages_come_in_the_order_of_the_work(checklist):
    assert [stage["id"] for stage in checklist["stages"]] == STAGES


def test_steps_are_well_formed(checklist, steps):
    known = {"id", "type", "hold", "required", "passable", "caution", "per", "when", "options", "units", "format",
             "panel", "slot", "shows", "items", "gate", "always", "remembered", "closes"}  # fmt: skip
    ids = [step["id"] for step in steps]
    assert len(ids) == len(set(ids))
    for stage in checklist["stages"]:
        for step in stage["steps"]:
            assert set(step) <= known, step["id"]
            assert re.fullmatch(rf"{stage['id']}\.[a-z]+(-[a-z]+)*", step["id"])
            assert step["type"] in TYPES, step["id"]
            assert step.get("caution", "danger") in SIGNAL_WORDS, step["id"]
            assert (step["type"] == "choice") == ("options" in step), step["id"]
            assert (step["type"] == "number") == ("units" in step), step["id"]
            assert (step["type"] == "panel") == ("panel" in step), step["id"]
            assert step.get("panel", "stop") in PANELS, step["id"]
            assert not (step.get("hold") and step.get("required") is False), step["id"]


def test_every_panel_and_option_set_is_used(checklist, steps):
    by_the_stop_panel = {"stop-reason", "stop-vehicle"}
    used = {step["options"] for step in steps if "options" in step}
    assert used | by_the_stop_panel == set(checklist["option_sets"])
    assert {step["panel"] for step in steps if "panel" in step} == PANELS


def test_the_phone_has_a_screen_for_every_panel():
    screens = (PWA / "js" / "ui" / "steps" / "step-widgets.js").read_text("utf-8")
    assert set(re.findall(r'^ {2}"?([a-z-]+)"?: (?:async .*Panel|readings|level),', screens, re.MULTILINE)) == PANELS


def conditions(holder: dict) -> list[dict]:
    return [inner for outer in holder.get("when", []) for inner in outer.get("any", [outer])]


def test_conditions_ask_what_an_earlier_step_answers(checklist):
    options_of: dict[str, set[str]] = {}
    for stage in checklist["stages"]:
        for step in stage["steps"]:
            for condition in [*conditions(stage), *conditions(step)]:
                if condition.get("plan") not in {"rings", "work", "old-pair", "bare", "same-pair", "new-pair"}:
                    asked = condition.get("is") or condition["not"]
                    assert set(asked) <= options_of[condition["field"]], step["id"]
            if "options" in step:
                options_of[step["id"]] = {option["id"] for option in checklist["option_sets"][step["options"]]}


@pytest.mark.parametrize(("clause", "first", "then"), SAFETY_ORDER, ids=[row[0] for row in SAFETY_ORDER])
def test_safety_order(steps, clause, first, then):
    ids = [step["id"] for step in steps]
    assert ids.index(first) < ids.index(then), clause


def test_the_holds_are_these(steps):
    assert {step["id"] for step in steps if step.get("hold")} == HOLDS


@pytest.mark.parametrize(("step", "part", "pattern"), SAID, ids=[f"{row[0]}: {row[2]}" for row in SAID])
def test_the_clause_is_said(texts, step, part, pattern):
    assert re.search(pattern, texts["en"][f"step.{step}.{part}"])


@pytest.mark.parametrize("language", LANGUAGES)
def test_texts_are_complete_and_none_is_left_over(checklist, steps, texts, language):
    expected = expected_keys(checklist, steps)
    details = {f"step.{step['id']}.detail" for step in steps}
    present = set(texts[language])
    assert not expected - present, "missing"
    assert not present - expected - details, "used by nothing"
    assert present & details == set(texts["en"]) & details


@pytest.mark.parametrize("language", LANGUAGES)
def test_texts_are_short_plain_and_hold_the_same_placeholders(texts, language):
    for key, text in texts[language].items():
        assert text == text.strip() != "", key
        assert re.findall(r"\{\w+\}", text) == re.findall(r"\{\w+\}", texts["en"][key]), key
        assert "\n" not in text, key
        limit = LONGEST[language].get(key.rsplit(".", 1)[1] if key.startswith("step.") else "", 220)
        assert len(text) <= limit, f"{key}: {len(text)} characters, at most {limit}"


def test_spanish_is_not_english(texts):
    same = {key for key, text in texts["es"].items() if text == texts["en"][key]}
    assert same <= {"unit.km", "unit.mm", "option.high-voltage.no", "option.after-work.no"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_gives_a_torque_or_a_limit(texts, language):
    figures = {key for key, text in texts[language].items() if re.search(r"\d", text)}
    # 6 and 9 are digits that are mistaken for each other; 50 to 100 km is the one figure the trade itself gives
    assert figures == {
        "step.prepare.marks-meet.detail", "step.finish.recheck-slip.title", "cause.digits-mistaken",
    }  # fmt: skip


def test_codes_of_advice_are_those_that_choosing_gives():
    assert set(re.findall(r'^ {8}"([a-z-]+)":', source_of(advice), re.MULTILINE)) == ADVICE


def test_codes_of_causes_are_those_that_proving_gives():
    named = set(re.findall(r'(?:Candidate|_fitted|_misread)\(\s*"([a-z-]+)"', source_of(causes)))
    assert named | {"marks-off", "digits-mistaken"} == CAUSES - {
        causes.AS_PLANNED,
        causes.BETWEEN_FACES,
        *prove.LOOK_AT,
    }


def test_answers_and_the_computed_gate_speak_of_the_same_things(checklist):
    sets = checklist["option_sets"]
    for name, options in (("mounting", "mounting"), ("driven", "driven"), ("ring_place", "ring-place"),
                          ("sensor", "sensor"), ("brake", "brake"), ("bracket", "bracket")):  # fmt: skip
        assert {option["id"] for option in sets[options]} == set(fit_input.CHOICES[name]), name
    computed = computed_refusals()
    gate_sets = {
        step["options"]
        for stage in checklist["stages"]
        for step in stage["steps"]
        if step.get("gate") and "options" in step
    }
    asked = {option["refuse"] for name in gate_sets for option in sets[name] if "refuse" in option}
    assert asked <= computed
