"""Contents to PDF: fonts, signs that no font has, papers. Shared by all that is printed."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from threading import Thread
from typing import TypeVar

from ..errors import DesignError, did_you_mean
from ..offers import PAPERS
from .press import Press, pressed, standing_fonts

T = TypeVar("T")
Said = dict[str, object]
"""What a document says, by the names that its Typst file knows."""
MISSING = "\u25a1"  # a white square, which the typesetter's fonts have

_STAYS = re.compile(
    r"(?<=\d) (?=(?:\d{1,2}/\d|in|ft|cm|mm|m|g|oz|lb|min|h)\b)|(?<=\brow|\bNo\.) (?=\d)|(?<=\d\sft) (?=\d)"
)


def paper_named(paper: str) -> str:
    """The paper by its name; DesignError for another."""
    if paper not in PAPERS:
        raise DesignError(f'"{paper:.20}" is not a paper size I know.', "paper", did_you_mean(paper[:20], PAPERS))
    return paper


def set_pages(name: str, said: Said | Callable[[], Said], bound: Mapping[str, bytes] | None = None) -> bytes:
    """PDF from contents by a Typst file of this room. A sign that no font has is shown as a small square.

    The contents may also be asked for here, while the typesetter makes ready on another core. Drawings in them may be
    `figures.later.Later`, to be made here. `bound` are PDFs by name whose pages the contents take in; what stands in
    those has no tags then, and the whole is tagged, but promises no standard. With the fonts that come with the
    typesetter, so that it prints the same everywhere; only a title in another script may borrow this machine's fonts.
    """
    with pressed(name, bound) as press:
        return set_with_fonts(press, said, lambda: press.pdf(standard=not bound))


def set_with_fonts(press: Press, said: Said | Callable[[], Said], pages: Callable[[], T]) -> T:
    """What `pages` takes from a press that says so; by this machine's fonts where there are rare signs in it and those
    have them."""
    with _made_ready():
        unbroken_said = each_text(said() if callable(said) else said, unbroken)
        plain = each_text(unbroken_said, without_rare_signs)
    press.own_fonts = plain == unbroken_said
    press.says(unbroken_said)
    press.draw()
    if press.own_fonts:
        return pages()
    import typst

    try:
        return pages()
    except typst.TypstError as trouble:
        if "could not be displayed" not in str(trouble):
            raise
    press.own_fonts = True
    press.says(plain)
    return pages()


KEPT = 10
"""For so many further documents the typesetter keeps what it has worked out, some 150 MB of every handout."""


@contextmanager
def _made_ready() -> Iterator[None]:
    """The typesetter loaded, and without the last document, when this is left: on another core where there is one."""
    beside = Thread(target=let_go, name="typesetter")
    beside.start()
    try:
        yield
    finally:
        beside.join()


def let_go() -> None:
    """Have the typesetter forget the last document, if there was one: the next is another, and a class has dozens."""
    used = "typst" in sys.modules
    import typst  # slow to load, and only what is printed needs it

    if not used:
        return
    for _ in range(KEPT + 1):
        typst.compile(b"", font_paths=standing_fonts())


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
