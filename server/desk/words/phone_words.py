"""The phone's own English texts, so that the desk says the same thing in the same words. It adds none."""

import json
from functools import lru_cache
from pathlib import Path

_FOLDER = Path(__file__).resolve().parents[3] / "pwa" / "text" / "en"


@lru_cache(maxsize=1)
def messages() -> dict[str, str]:
    return {key: text for path in _FOLDER.glob("*.json") for key, text in json.loads(path.read_text("utf-8")).items()}


def say(key: str, **values) -> str:
    return messages()[key].format(**values)
