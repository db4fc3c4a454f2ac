"""Texts of classes on the bench, as far as the studio's own process must know them.

That process reckons nothing, and loads nothing that reckons: so its page is soon open.
"""

from __future__ import annotations

import re

_HEADER = re.compile(r"^[ \t]*\[class\]", re.MULTILINE)


def is_class(text: str) -> bool:
    """True for the text of a class file, False for a design's."""
    return _HEADER.search(text) is not None


def begun(title: str, design: str) -> str:
    """The text of a class to begin from: twelve seats for one design."""
    from ...edit.lists import written

    return f"[class]\ntitle = {written(f'{title}, a class')}\ndesign = {written(design)}\nseats = 12\n"
