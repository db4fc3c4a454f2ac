"""What every design keeps to, whoever makes it: how things may be called, and how large a basket may be.

Read by the file's readers, by the design's own values and by the plan, so that each rule stands here alone.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..errors import DesignError

UNTITLED = "Untitled basket"
MOST_TITLE, MOST_NAME = 120, 60
"""Signs of a title that are shown, and those that the name of a colour or a reed may have."""
MOST_HIGH_MM = MOST_ACROSS_MM = 3000.0
"""Taller than its maker and wider than a door: what a file asks for beyond that is a slip of the pen."""
MOST_PIECE_MM = 10_000.0
"""No reed is sold in longer pieces, and a spoke cannot be joined."""


def title_of(text: str) -> str:
    """A basket's title as it is shown: one of blanks alone is none."""
    return " ".join(text.split())[:MOST_TITLE].strip() or UNTITLED


def check_name(name: str, what: str, where: str) -> str:
    """A name given to `what`, each run of blanks as one. Raises DesignError where nobody could read or write it."""
    plain = " ".join(name.split()) if name.isprintable() else name
    if not plain:
        raise DesignError(f"{what} needs a name.", where, "Give it one of letters and ordinary signs.")
    if not plain.isprintable():
        raise DesignError(f"the name of {what} holds a sign that cannot be printed.", where, "Use ordinary signs.")
    if len(plain) > MOST_NAME:
        raise DesignError(f"the name of {what} is longer than {MOST_NAME} signs.", where, "Call it something shorter.")
    return plain


def check_names(title: str, colours: Iterable[str], reeds: Iterable[str]) -> None:
    """Raises DesignError where a design's title or the names in it could not be shown."""
    if not title.isprintable() or not title.strip():
        raise DesignError("a title is a line of letters and ordinary signs.", "basket, title", "Leave it out.")
    for colour in colours:
        check_name(colour, "a colour", "colours")
    for reed in reeds:
        if reed:  # one measured on the spot has none
            check_name(reed, "a reed", "reeds")
