"""A browser profile in which one address may keep its storage for good, as one has that installed it.

Chromium asks nobody: it looks at how much a site is used. A test cannot be used for weeks, so the permission is written
where the browser keeps its content settings, before the first start. Without it Chromium promises nothing to a test.
"""

import json
from pathlib import Path

_ALLOWED = 1


def allow_keeping(profile: Path, origin: str) -> None:
    """Let pages of `origin` be kept in this profile; the browser must not have been started on it."""
    setting = {f"{origin},*": {"setting": _ALLOWED}}
    preferences = {"profile": {"content_settings": {"exceptions": {"durable_storage": setting}}}}
    file = profile / "Default" / "Preferences"
    file.parent.mkdir(parents=True)
    file.write_text(json.dumps(preferences), "utf-8")
