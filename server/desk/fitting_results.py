"""Desk pages: what the shop's finished jobs say, and accepting the spreads that they propose."""

from flask import g, redirect, request, url_for

from calc.numbers.errors import InputError
from calc.numbers.intervals import share_interval
from server.auth import admission
from server.context import database, now_ms
from server.desk.drawings.learning_plots import first_rounds, observed_against_planned, turn_words, turns
from server.desk.page import page
from server.desk.ring_form.ring_fields import number_from
from server.records.past_fittings import past_fittings
from server.records.spreads import FEW, FEWEST, LIMITS, SPREAD, USUAL, accepted_from, by_ring_set, proposals
from server.store import audit_lines, rings, settings
from server.sync.derive import gather

blueprint = admission.desk_blueprint("fitting_results", __name__)
owner_blueprint = admission.desk_blueprint("spread_accept", __name__, least="owner")
NEWEST_JOBS = 500  # older work may have been other hands and other tools
LABELS = {
    "camber_sd": ("One camber reading, degrees", 1000),
    "toe_sd": ("One toe reading, degrees", 1000),
    "seat_sd": ("How the hub seats on the rings, degrees", 1000),
    "clock_sd_deg": ("Where the top is taken, degrees of turning", 1),
}


@blueprint.get("/learning")
def show():
    """Predicted against observed by ring set, and the spreads that follow."""
    return _page({}, {})


def _page(typed: dict[str, str], flaws: dict[str, str]):
    gathered = gather(database(), NEWEST_JOBS)
    with database().transaction() as connection:
        ring_sets = {row["table"]: row["ring_set"] for row in rings.all_sets(connection)}
        found = past_fittings(gathered, ring_sets)
        used, said = settings.get(connection, SPREAD), settings.row(connection, SPREAD)
    proposed = proposals(found)
    rows = [(each, *LABELS[each.name]) for each in proposed]
    in_use = USUAL | (used or {})
    for each, _, scale in rows:
        best = each.proposed if each.proposed is not None else in_use[each.name]
        typed.setdefault(each.name, f"{best / scale:g}")
    firsts = found.first_rounds
    return page(
        "fitting-results.html", found=found, ring_sets=[_plotted(row) for row in by_ring_set(found.fittings)],
        firsts=firsts, first_parts=first_rounds(firsts), rows=rows, used=in_use, turn_words=turn_words,
        first_share=share_interval(firsts.held, firsts.told) if firsts.told else None,
        is_own=bool(used), said=said, typed=typed, flaws=flaws, few=FEW, fewest=FEWEST, newest=NEWEST_JOBS, usual=USUAL,
    )  # fmt: skip


def _plotted(row: dict) -> dict:
    return row | {
        "scatter": observed_against_planned(row["group"]),
        "turns": turns(row["speaking_group"], row["turn"]) if row["speaking_group"] else None,
        "turn_said": turn_words(row["turn"][0], 1) if row["turn"] else "",
    }


@owner_blueprint.post("/learning/accept")
def accept():
    """Take the typed spreads into use, or with `act` = usual go back to the usual ones. Plans made stay as they are."""
    if request.form.get("act") == "usual":
        return _keep(None, "the usual ones")
    typed = {name: request.form.get(name, "").strip()[:20] for name in LABELS}
    values, flaws = {}, {}
    for name, (_, scale) in LABELS.items():
        low, high = LIMITS[name]
        try:
            value = number_from(typed[name], name) * scale
            if not low <= value <= high:
                raise InputError(name, f"{low / scale:g} to {high / scale:g}", f"“{typed[name]}”")
            values[name] = round(value, 1)
        except InputError as error:
            flaws[name] = f"Expected: {error.expected}. Got: {error.got}."
    if flaws:
        return _page(typed, flaws), 422
    spread = accepted_from(values)
    return _keep(spread, ", ".join(f"{name} {part:g}" for name, part in spread.items()))


def _keep(spread: dict | None, about: str):
    with database().transaction() as connection:
        settings.put(connection, SPREAD, spread, g.person.name, now_ms())
        audit_lines.add(connection, "spread-accepted", g.person.name, admission.address(), about, now_ms())
    return redirect(url_for("fitting_results.show"), 303)
