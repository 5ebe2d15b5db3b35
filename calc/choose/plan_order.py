"""In which order the plans of the fit patterns are shown; the first is recommended. It changes no plan."""

from itertools import groupby

from calc.choose.normal_points import POINTS

CLOSE_COUNT = 819  # a fifth of the points: less chance than that pays neither for more pairs nor for a second ring set


def is_close(best_chance: float, chance: float) -> bool:
    """Whether a chance is so little below the best one that the simpler way is taken."""
    return (best_chance - chance) * POINTS <= CLOSE_COUNT


def in_order(plans: list[dict]) -> list[dict]:
    """Return the plans, best first.

    A plan that opens a needless wheel and leaves anything outside comes after all others; then by (toe_steps,
    camber_steps, needless). Among equals first the fewest pairs with a chance close to the best among them, then the
    others by chance. `plans` come in the order of the patterns, which settles the last ties.

    Last, none with less than half the chance of another of equal steps stands first: a wheel that is safely inside its
    own windows may still be what breaks one of the axle, and opening it is then not as needless as it counts.
    """
    groups = groupby(sorted(plans, key=_rank), key=_rank)
    ordered = [plan for _, equals in groups for plan in _first_close(list(equals))]
    rivals = [plan for plan in ordered if _rank(plan)[:-1] == _rank(ordered[0])[:-1]]
    best = max(plan["chance"] for plan in rivals)
    first = next(plan for plan in rivals if 2 * plan["chance"] >= best)
    return [first, *(plan for plan in ordered if plan is not first)]


def _rank(plan: dict) -> tuple:
    is_outside = plan["toe_outside"] > 0 or plan["camber_outside"] > 0
    return is_outside and plan["needless"] > 0, plan["toe_steps"], plan["camber_steps"], plan["needless"]


def _first_close(plans: list[dict]) -> list[dict]:
    best = max(plan["chance"] for plan in plans)
    close = [plan for plan in plans if is_close(best, plan["chance"])]
    first = min(close, key=lambda plan: (plan["pairs"], -plan["chance"]))
    return [first, *sorted((plan for plan in plans if plan is not first), key=lambda plan: -plan["chance"])]
