"""Words of the trade in both wordings, and left and right for either hand.

Sentences elsewhere are written once with {spoke}, {border}, {forward} and so on; `say` fills them in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True)
class Term:
    """One word: `us`, `uk` and what it `means`."""

    us: str
    uk: str
    means: str


TERMS: dict[str, Term] = {
    "spoke": Term("spoke", "stake", "an upright that the weavers go round"),
    "spokes": Term("spokes", "stakes", "uprights"),
    "Spokes": Term("Spokes", "Stakes", "uprights, at the head of a sentence"),
    "border": Term("border", "border", "the ends of the uprights woven down to finish the edge"),
    "Border": Term("Border", "Border", "the same, at the head of a sentence"),
    "upsett": Term("upset", "upsett", "the first firm rows after the uprights turn up"),
    "Upsett": Term("Upset", "Upsett", "the same, at the head of a sentence"),
    "colour": Term("color", "colour", "spelling"),
    "colours": Term("colors", "colours", "spelling"),
    "coloured": Term("colored", "coloured", "spelling"),
    "Colours": Term("Colors", "Colours", "spelling"),
    "grey": Term("gray", "grey", "spelling"),
    "cross": Term("cross", "slath", "the first sticks of the base laid across each other and tied"),
    "reed": Term("reed", "cane", "what is woven with"),
}


SPELT = (
    ("color", "colour"),
    ("colors", "colours"),
    ("colored", "coloured"),
    ("gray", "grey"),
    ("center", "centre"),
    ("neighbor", "neighbour"),
    ("neighbors", "neighbours"),
    ("neighboring", "neighbouring"),
    ("toward", "towards"),
    ("centimeters", "centimetres"),
    ("calipers", "callipers"),
    ("meter", "metre"),
    ("meters", "metres"),
    ("liter", "litre"),
    ("liters", "litres"),
    ("moldy", "mouldy"),
    ("upset", "upsett"),
)
"""The same word as either side of the ocean spells it: American, British."""
NAMED = tuple((word, TERMS[term].us + end, TERMS[term].uk + end) for term in ("spoke", "reed")
               for word, end in ((term, ""), (f"{term}s", "s")))  # fmt: skip
"""What a thing of the trade is called, one and several: as slype's sentences have it, American, British."""


def _swapped(wording: str) -> dict[str, str]:
    """Each word that slype's sentences may have, and what it is in this wording."""
    at = 1 if wording == "uk" else 0
    words = {pair[1 - at]: pair[at] for pair in SPELT} | {word: pair[at] for word, *pair in NAMED}
    return words | {word.capitalize(): to.capitalize() for word, to in words.items()}


_SWAPPED = {wording: _swapped(wording) for wording in ("us", "uk")}
_WORDS = {  # a table of the file, like [border], is called what it is called there
    wording: re.compile(rf"(?<!\[)\b(?:{'|'.join(map(re.escape, words))})\b") for wording, words in _SWAPPED.items()
}
_BRACES = re.compile(r"(\{[^{}]*\})")
_TERM = re.compile(r"\{(" + "|".join(TERMS) + r")\}")


def worded(text: str, wording: str) -> str:
    """A sentence of slype's own (help, a part's name, a border's closing) with its trade words in this wording, and
    spelt as there. It may have {spoke} and other TERMS in braces; other braces stay."""
    wording = "uk" if wording == "uk" else "us"
    text = _TERM.sub(lambda found: getattr(TERMS[found[1]], wording), text)
    return _WORDS[wording].sub(lambda found: _SWAPPED[wording][found[0]], text)


OF_A_LID = (
    ("high along the wall, the wall is", "high, its side is"),
    ("move the last point of the wall", "give it another depth"),
    ("the base edge", "the edge of its top"),
    ("the underside of the base", "the top of the lid"),
    ("underside of the base", "top of the lid"),
    ("base edge", "edge of its top"),
    ("edge of the base", "edge of its top"),
    ("across the base", "across its top"),
    ("the last row of the base", "the last row of the lid's top"),
    ("the wall falls open", "it falls open"),
    ("the underside", "its top"),
    ("underside", "top"),
    ("along the wall", "along its side"),
    ("up the wall", "up its side"),
    ("the wall", "its side"),
    ("wall", "side"),
    ("the mouth", "its edge"),
    ("the base", "the lid"),
    ("base", "lid"),
    ("basket", "lid"),
)
"""What a basket's parts are called where the same is said of a lid, which is woven as a base: longer phrases first."""
_OF_A_LID = re.compile("|".join(rf"\b{re.escape(said)}\b" for said, _ in OF_A_LID), re.IGNORECASE)


def of_a_lid(text: str) -> str:
    """A sentence about a basket, or the name of a part of one, as it is said of a lid."""
    called = dict(OF_A_LID)

    def swapped(found: re.Match[str]) -> str:
        to = called[found[0].lower()]
        return to[0].upper() + to[1:] if found[0][0].isupper() else to

    return _OF_A_LID.sub(swapped, text)


FACES: dict[str, tuple[str, str]] = {
    "inside": ("inside", "on the far side"),
    "outside": ("outside", "on your side"),
    "the inside": ("the inside", "the far side"),
    "the outside": ("the outside", "your side"),
    "from inside": ("from inside", "from the far side"),
    "From inside": ("From inside", "From the far side"),
    "from outside": ("from outside", "from your side"),
    "above": ("above", "past"),
    "stand above": ("stand above", "stand out past"),
    "upright": ("upright", "square to the work"),
    "before you": ("in front of you", "at the top"),
}
"""What stands in braces in a sentence about a border, or trimming: as it is said of a wall, and of what has none, a
flat mat or lid, which is held upright while its edge is worked."""


_AS_WRITTEN = re.compile(r"""("[^"]*"|'[^']*'(?!\w)|--[\w-]+|\[+[\w.]+\]+|\b\w+ = )""")
"""What stands in a file or was typed: quoted, an option, a table's head, a key before its value."""


def refusal(text: str, wording: str) -> str:
    """A refusal's sentences as `worded` has them; what they quote of a file stays as it is written there."""
    parts = _AS_WRITTEN.split(text)
    parts[::2] = [worded(part, wording) for part in parts[::2]]
    return "".join(parts)


class Named:
    """A record of the trade's own tables: its `name`, and the British one (`uk`) where that differs."""

    name: str
    uk: str

    def named(self, wording: str) -> str:
        """The name in American ("us") or British ("uk") wording."""
        return self.uk if wording == "uk" and self.uk else self.name


def say(template: str, wording: str = "us", hand: str = "right", flat: bool = False, **values: object) -> str:
    """Fill a sentence: {spoke} and the other TERMS by wording, {forward} and {back} by hand, {inside} and the other
    FACES by whether it is said of what is `flat`, and `values`.

    Plain words of the sentence itself are put into the wording too, and spelt as there; `values` stay as they are.
    """
    forward = "right" if hand == "right" else "left"
    back = "left" if hand == "right" else "right"
    terms = {name: term.uk if wording == "uk" else term.us for name, term in TERMS.items()}
    terms |= {name: said[flat] for name, said in FACES.items()}
    return _spelt(template, "uk" if wording == "uk" else "us").format_map(
        {**terms, "forward": forward, "back": back, **values}
    )


@lru_cache(maxsize=4096)
def _spelt(template: str, wording: str) -> str:
    """The template with its plain words in a wording; what stands in braces is left alone."""
    parts = _BRACES.split(template)
    parts[::2] = [_WORDS[wording].sub(lambda found: _SWAPPED[wording][found[0]], text) for text in parts[::2]]
    return "".join(parts)


def several(count: int, one: str, many: str = "") -> str:
    """`1 row`, `3 rows`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(items: list[str], last: str = "and") -> str:
    """`a, b and c`, or with another word before the `last`."""
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} {last} {items[-1]}" if items else ""


def escape(text: str) -> str:
    """`text` as it stands between the tags of a picture. (The standard library's own loads the network with it: a
    fiftieth of a second that every drawing would wait for.)"""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
