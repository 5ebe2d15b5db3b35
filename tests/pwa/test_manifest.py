"""The installed app's manifest and icons, tested here because no browser audit does it any more.

Members and icon purposes: W3C, "Web Application Manifest". What Chromium wants before it offers to install: web.dev,
"installable-manifest". The safe zone of a maskable icon is the middle circle of radius 40 % of the side: W3C, "Web
Application Manifest", icon masks and safe zone.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parents[2]
PWA = ROOT / "pwa"
ICON = {
    "type": "object",
    "required": ["src", "sizes", "type"],
    "additionalProperties": False,
    "properties": {
        "src": {"pattern": "^/icons/"},
        "sizes": {"pattern": r"^\d+x\d+$"},
        "type": {"const": "image/png"},
        "purpose": {"enum": ["any", "maskable"]},
    },
}
SCREENSHOT = {
    "type": "object",
    "required": ["src", "sizes", "type", "form_factor", "label"],
    "additionalProperties": False,
    "properties": {
        "src": {"pattern": "^/pictures/"},
        "sizes": {"pattern": r"^\d+x\d+$"},
        "type": {"const": "image/png"},
        "form_factor": {"const": "narrow"},
        "label": {"type": "string"},
    },
}
COLOUR = {"pattern": "^#[0-9a-f]{6}$"}
SCHEMA = {
    "type": "object",
    "required": [
        "id", "name", "short_name", "description", "lang", "start_url", "scope", "display", "theme_color",
        "background_color", "icons",
    ],
    # prefer_related_applications would send people to a shop that we are not in
    "additionalProperties": False,
    "properties": {
        "id": {"const": "/"}, "start_url": {"const": "/"}, "scope": {"const": "/"},
        "name": {"type": "string", "maxLength": 45}, "short_name": {"type": "string", "maxLength": 12},
        "description": {"type": "string"}, "lang": {"const": "en"}, "dir": {"const": "ltr"},
        "display": {"const": "standalone"}, "theme_color": COLOUR, "background_color": COLOUR,
        "categories": {"type": "array", "items": {"type": "string"}},
        "icons": {"type": "array", "items": ICON},
        "screenshots": {"type": "array", "minItems": 3, "items": SCREENSHOT},
        "shortcuts": {
            "type": "array",
            "items": {
                "type": "object", "required": ["name", "url"], "additionalProperties": False,
                "properties": {
                    "name": {"type": "string"}, "url": {"pattern": "^/#/"}, "icons": {"type": "array", "items": ICON},
                },
            },
        },
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def manifest() -> dict:
    return json.loads((PWA / "manifest.webmanifest").read_text("utf-8"))


def picture(src: str) -> Image.Image:
    return Image.open(PWA / src.removeprefix("/")).convert("RGBA")


def test_manifest_has_what_installing_needs_and_nothing_unknown(manifest):
    jsonschema.Draft202012Validator(SCHEMA).validate(manifest)
    kinds = {(icon["sizes"], icon["purpose"]) for icon in manifest["icons"]}
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= kinds


def test_every_screenshot_has_the_pixels_that_it_claims_and_the_shape_of_a_phone(manifest):
    """Chromium takes 320 to 3840 pixels a side, the longer at most 2.3 times the shorter, all of one shape: web.dev,
    "richer install UI"."""
    shapes = set()
    for shot in manifest["screenshots"]:
        width, height = picture(shot["src"]).size
        assert shot["sizes"] == f"{width}x{height}", shot["src"]
        assert 320 <= width < height <= 3840
        assert height / width <= 2.3
        shapes.add(width / height)
    assert len(shapes) == 1


def test_every_icon_has_the_pixels_that_it_claims(manifest):
    icons = [*manifest["icons"], *(icon for shortcut in manifest["shortcuts"] for icon in shortcut["icons"])]
    for icon in icons:
        width, height = picture(icon["src"]).size
        assert icon["sizes"] == f"{width}x{height}", icon["src"]
        assert (PWA / icon["src"].removeprefix("/")).read_bytes().startswith(b"\x89PNG"), icon["src"]


def test_a_mask_cuts_nothing_off_the_maskable_icon(manifest):
    (source,) = [icon["src"] for icon in manifest["icons"] if icon["purpose"] == "maskable"]
    image = picture(source)
    side = image.width
    ground = image.getpixel((0, 0))
    drawn = [
        (x, y) for x in range(side) for y in range(side) if differs(image.getpixel((x, y)), ground)
    ]  # fmt: skip
    assert drawn
    assert max((x + 0.5 - side / 2) ** 2 + (y + 0.5 - side / 2) ** 2 for x, y in drawn) <= (0.4 * side) ** 2


def differs(one: tuple, other: tuple) -> bool:
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) > 8


@pytest.mark.parametrize("source", ["/icons/maskable-512.png", "/icons/apple-touch-icon.png"])
def test_icons_that_the_phone_masks_have_no_hole(source):
    assert picture(source).getchannel("A").getextrema() == (255, 255)


def test_apple_touch_icon_is_180_pixels_and_linked():
    assert picture("/icons/apple-touch-icon.png").size == (180, 180)
    page = (PWA / "index.html").read_text("utf-8")
    assert re.search(r'<link rel="apple-touch-icon" href="/icons/apple-touch-icon.png">', page)
    assert re.search(r'<link rel="manifest" href="/manifest.webmanifest">', page)


def test_icons_are_those_that_the_script_draws():
    script = ROOT / "fixtures" / "icons" / "draw_icons.py"
    done = subprocess.run([sys.executable, script, "--check"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr


def test_release_notes_begin_with_the_version_of_the_project():
    releases = json.loads((PWA / "changelog.json").read_text("utf-8"))
    pyproject = (ROOT / "pyproject.toml").read_text("utf-8")
    assert f'version = "{releases[0]["version"]}"' in pyproject
    for release in releases:
        assert re.fullmatch(r"\d{4}-\d{2}-\d{2}", release["date"])
        assert release["effects"]
        for effect in release["effects"]:
            assert effect.endswith(".")
            assert effect.count(".") == 1, "one sentence for each effect"
