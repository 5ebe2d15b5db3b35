"""Spacers for the bracket lugs from the shop's stock, by quantity. Whole micrometres throughout, so that ties are ties.

Must not buy or bend: it gives the nearest that the stock allows and says how far off that is.
"""

from calc.numbers.rounding import to_decimals

# How far a bracket may be off before it strains its sliding pins (common practice, no source).
SPACER_TOLERANCE_UM = 100


def choose_spacers(wanted_um: list[int], stock: list[tuple[int, int]]) -> list[list[int]]:
    """Return per lug the stock items (indices, rising) that go under it.

    `wanted_um` per lug; `stock` as (thickness in um, quantity). Least is the sum over lugs of |total - wanted|; of
    equals the fewest pieces; of equals the first that the walk meets, which takes options by (miss, pieces, items). No
    item is used oftener than there are pieces of it. It is the true optimum: a depth-first walk that leaves a branch
    only when even the best that each remaining lug could have by itself would not be better.

    >>> choose_spacers([5000, 3000], [(3000, 2), (2000, 1)])
    [[0, 1], [0]]
    """
    options = [_options(wanted, stock) for wanted in wanted_um]
    at_best = [0] * (len(options) + 1)
    for k in range(len(options) - 1, -1, -1):
        at_best[k] = at_best[k + 1] + (options[k][0][0] if options[k] else 0)
    best: list = [None, []]
    _walk(options, at_best, [quantity for _, quantity in stock], (0, 0), [], best)
    return best[1]


def _options(wanted: int, stock: list[tuple[int, int]]) -> list[tuple[int, int, list[int]]]:
    """Return all (miss, pieces, items) for one lug, best first; "nothing" is one of them.

    At most two pieces: more washers in a stack settle and slip (common practice, no source).
    """
    found = [(abs(wanted), 0, [])]
    for first, (thickness, quantity) in enumerate(stock):
        if quantity > 0:
            found.append((abs(thickness - wanted), 1, [first]))
        for second in range(first, len(stock)):
            if quantity > 0 and stock[second][1] > (1 if second == first else 0):
                found.append((abs(thickness + stock[second][0] - wanted), 2, [first, second]))
    return sorted(found)


def _walk(options, at_best: list[int], left: list[int], so_far: tuple[int, int], chosen: list, best: list) -> None:
    """Keep in `best` (key, items per lug) the least plan that begins with `chosen`."""
    depth = len(chosen)
    if depth == len(options):
        if best[0] is None or so_far < best[0]:
            best[:] = [so_far, list(chosen)]
        return
    for miss, pieces, items in options[depth]:
        key = (so_far[0] + miss, so_far[1] + pieces)
        if best[0] is not None and key[0] + at_best[depth + 1] > best[0][0]:
            return  # options come in order of miss: none after this one can be better
        if any(items.count(item) > left[item] for item in items):
            continue
        after = [quantity - items.count(item) for item, quantity in enumerate(left)]
        _walk(options, at_best, after, key, [*chosen, items], best)


def spacer_rows(stack_mm: list[float], stock: list[tuple[float, int]], engaged_mm: float | None) -> list[dict]:
    """Return per lug `{"number", "wanted_mm", "pieces_mm", "off_mm", "near_enough", "left_mm"}`.

    `off_mm` = what the pieces come to - wanted. `left_mm`: bracket-bolt engagement that the pieces leave, or null.
    """
    wanted_um = [round(to_decimals(thickness * 1000, 0)) for thickness in stack_mm]
    stock_um = [(round(to_decimals(thickness * 1000, 0)), quantity) for thickness, quantity in stock]
    rows = []
    for number, (wanted, items) in enumerate(zip(wanted_um, choose_spacers(wanted_um, stock_um), strict=True), 1):
        total = sum(stock_um[item][0] for item in items)
        rows.append(
            {
                "number": number,
                "wanted_mm": wanted / 1000,
                "pieces_mm": [stock_um[item][0] / 1000 for item in items],
                "off_mm": (total - wanted) / 1000,
                "near_enough": abs(total - wanted) <= SPACER_TOLERANCE_UM,
                "left_mm": None if engaged_mm is None else to_decimals(engaged_mm - total / 1000, 2),
            }
        )
    return rows
