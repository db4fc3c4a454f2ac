"""Codes that a phone reads, as SVG: a kit as plain text, so that nothing has to be looked up anywhere."""

from __future__ import annotations

import io
from functools import lru_cache

MOST_BYTES = 1800
"""A longer text makes a code too fine to read from a small label."""
MOST_KEPT = 400
"""Codes kept, as many as a class has seats: a kit's list and its label show the same one."""


@lru_cache(maxsize=MOST_KEPT)
def code(text: str) -> str:
    """A QR code (ISO/IEC 18004) of some text as SVG, at the lowest level of repair that still leaves room for a smudge;
    a text too long for a label is cut off at a line."""
    import segno  # only what is printed for a class needs it

    raw = text.encode("utf-8")
    while len(raw) > MOST_BYTES:
        text = text.rsplit("\n", 1)[0] if "\n" in text else text[: len(text) // 2]
        raw = text.encode("utf-8")
    out = io.BytesIO()
    segno.make_qr(text, error="l", boost_error=True).save(out, kind="svg", border=2, xmldecl=False, svgns=True)
    return out.getvalue().decode("utf-8")
