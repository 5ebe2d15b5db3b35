"""The phone's checklist as data: its sheets and rows, as pwa/checklist.json has them. It knows no answers."""


def rows_of(checklist: dict) -> list[dict]:
    """Return every row, in the order of the sheets, each with `sheet`: the id of the sheet that it stands on."""
    return [row | {"sheet": sheet["id"]} for sheet in checklist["sheets"] for row in _own_rows(sheet)]


def _own_rows(sheet: dict) -> list[dict]:
    return sheet["rows"] if "rows" in sheet else [row for pause in sheet["pauses"] for row in pause["rows"]]
