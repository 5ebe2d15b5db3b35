"""What stands on each page of a PDF that Chromium has printed: it writes every object by itself, and fonts with a table
from glyphs to characters, so that a few lines can read it. For any other program's PDF this is too little.
"""

import re
import zlib
from unicodedata import normalize

_OBJECT = re.compile(rb"(\d+) 0 obj\n(.*?)\nendobj", re.S)
_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.S)
_SHOWN = re.compile(rb"/(F\d+) [\d.]+ Tf|<([0-9A-Fa-f]+)> ?Tj|\[(.*?)\] ?TJ", re.S)


def page_texts(pdf: bytes) -> list[str]:
    """Return the text of each page, without blanks: a print has them as distances."""
    objects = dict(_OBJECT.findall(pdf))
    pages = [body for body in objects.values() if re.search(rb"/Type\s*/Page\b", body)]
    return [_text_of(page, objects) for page in pages]


def _text_of(page: bytes, objects: dict[bytes, bytes]) -> str:
    fonts = {name: _characters(objects[number], objects) for name, number in re.findall(rb"/(F\d+) (\d+) 0 R", page)}
    used, said = {}, []
    for font, glyphs, listed in _SHOWN.findall(_stream(objects[re.search(rb"/Contents (\d+)", page)[1]])):
        if font:
            used = fonts[font]
            continue
        for run in [glyphs] if glyphs else re.findall(rb"<([0-9A-Fa-f]+)>", listed):
            said += [used.get(int(run[at : at + 4], 16), "") for at in range(0, len(run), 4)]
    # what two letters are printed as stands as two letters again
    return normalize("NFKC", "".join("".join(said).split()))


def _characters(font: bytes, objects: dict[bytes, bytes]) -> dict[int, str]:
    """Return glyph -> characters, of the font's ToUnicode map."""
    table = _stream(objects[re.search(rb"/ToUnicode (\d+)", font)[1]])
    known: dict[int, str] = {}
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.S):
        for glyph, text in re.findall(rb"<(\w+)>\s*<(\w+)>", block):
            known[int(glyph, 16)] = bytes.fromhex(text.decode()).decode("utf-16-be")
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.S):
        for first, last, text in re.findall(rb"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
            start = int(text, 16)
            known |= {glyph: chr(start + glyph - int(first, 16)) for glyph in range(int(first, 16), int(last, 16) + 1)}
    return known


def _stream(body: bytes) -> bytes:
    content = _STREAM.search(body)[1]
    return zlib.decompress(content) if b"/FlateDecode" in body else content
