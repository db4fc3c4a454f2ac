"""Contents to PDF: fonts, signs that no font has, papers. Shared by all that is printed."""

from __future__ import annotations

import json
import os
import re
import tempfile
from collections.abc import Callable, Mapping
from importlib import resources
from typing import Any, Final

from ..errors import DesignError, did_you_mean
from ..offers import PAPERS
from ..version import VERSION

STANDARD: Final = "ua-1"
"""PDF/UA-1: tagged, with a title, a language and alternative texts."""
MISSING = "\u25a1"  # a white square, which the typesetter's fonts have

_STAYS = re.compile(r"(?<=\d) (?=(?:\d{1,2}/\d|in|ft|cm|mm|m|g|oz|lb|min|h)\b)|(?<=\brow|\bNo\.) (?=\d)")


def paper_named(paper: str) -> str:
    """The paper by its name; DesignError for another."""
    if paper not in PAPERS:
        raise DesignError(f'"{paper:.20}" is not a paper size I know.', "paper", did_you_mean(paper[:20], PAPERS))
    return paper


def set_pages(name: str, said: dict[str, object], bound: Mapping[str, bytes] | None = None) -> bytes:
    """PDF from contents by a Typst file of this room. A sign that no font has is shown as a small square.

    `bound` are PDFs by name whose pages the contents take in; what stands in those has no tags then, and the whole is
    tagged, but promises no standard. With the fonts that come with the typesetter, so that it prints the same
    everywhere; only a title in another script may borrow this machine's fonts.
    """
    said = each_text(said, unbroken)
    plain = each_text(said, without_rare_signs)
    try:
        return set_with_fonts(lambda rare: _compiled(name, said if rare else plain, not rare, bound), plain != said)
    finally:
        let_go()


def set_with_fonts(compiled: Callable[[bool], Any], rare: bool) -> Any:
    """What is `compiled` with this machine's fonts where there are `rare` signs; or else without."""
    if rare:
        import typst

        try:
            return compiled(True)
        except typst.TypstError as trouble:
            if "could not be displayed" not in str(trouble):
                raise
    return compiled(False)


KEPT = 10
"""For so many further documents the typesetter keeps what it has worked out, some 150 MB of every handout."""


def let_go() -> None:
    """Have the typesetter forget the last document: the next one is another, and a class has dozens of them."""
    import typst

    for _ in range(KEPT + 1):
        typst.compile(b"", ignore_system_fonts=True)


def _compiled(name: str, said: dict[str, object], own_fonts_only: bool, bound: Mapping[str, bytes] | None) -> bytes:
    import typst  # slow to load, and only a printed sheet needs it

    source = resources.files(__package__).joinpath(name).read_bytes()
    ways: dict[str, Any] = {
        "sys_inputs": {"said": json.dumps(said, ensure_ascii=False)}, "ignore_system_fonts": own_fonts_only
    }  # fmt: skip
    if not bound:
        return signed(typst.compile(source, format="pdf", pdf_standards=STANDARD, **ways))
    with tempfile.TemporaryDirectory(prefix="slype-") as folder:  # the typesetter takes other PDFs from files alone
        for each, content in {name: source, **bound}.items():
            with open(os.path.join(folder, each), "wb") as file:
                file.write(content)
        return signed(typst.compile(os.path.join(folder, name), format="pdf", root=folder, **ways))


_CREATOR = re.compile(rb"Typst \d+\.\d+\.\d+")


def signed(pdf: bytes) -> bytes:
    """The same PDF saying which program it comes from, in as many bytes: every place in it stays where it is."""
    name = f"slype {VERSION}".encode()
    return _CREATOR.sub(lambda found: name[: len(found[0])].ljust(len(found[0])), pdf)


def each_text(value, change):
    """The same contents with every text changed; pictures are left alone."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list):
        return [each_text(each, change) for each in value]
    if isinstance(value, dict):
        return {key: each if key == "svg" else each_text(each, change) for key, each in value.items()}
    return value


def unbroken(text: str) -> str:
    """A number keeps its fraction, its unit and the word that it counts on the same line."""
    return _STAYS.sub("\u00a0", text)


_PLAIN = re.compile(r"[\u0020-\u007e\u00a0\u2013\u2019]*")


def without_rare_signs(text: str) -> str:
    """Signs that the typesetter's fonts may lack become squares."""
    if _PLAIN.fullmatch(text):  # as nearly all are
        return text
    return "".join(sign if _is_common(sign) else MISSING for sign in text)


def _is_common(sign: str) -> bool:
    """Latin with its accents, Greek and Cyrillic, dashes and quotation marks: the typesetter's fonts have them all."""
    low, high = "\u0020\u00a1\u0391\u0410\u2010\u2032", "\u007e\u017f\u03c9\u044f\u2026\u2033"
    known = any(first <= sign <= last for first, last in zip(low, high, strict=True))
    return sign == "\u00a0" or (known and sign.isprintable())


def short(title: str) -> str:
    """A title short enough for a footer."""
    return title if len(title) <= 70 else f"{title[:69].rstrip()}…"
