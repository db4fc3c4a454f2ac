"""The table of borders: one record per border of the trade.

The reader of designs, `slype border`, help, docs and tests derive from `BORDERS`. Row borders are written as rows, rod
and plaited ones as their order of work, from which their moves follow (`borders.work`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

from ..errors import DesignError, Unweavable, did_you_mean, nearest
from ..quantity import MM_PER_IN
from ..words import Named
from .rows import LONGEST_MOVE, Border, Need, Plait, Rods, border_need, parse_border
from .work import rows_of

FAMILIES = {
    "open": "One sweep to a place further on: scallops.",
    "trac": "Each end is worked by itself to its last place before the next is touched.",
    "row": "All ends make one short move, then all the next.",
    "rod": "Several ends down first; then the hindmost goes on and the next upright comes down.",
    "rolled": "The ends wind round each other into a rope on the edge.",
    "plaited": "Three groups of reeds plaited along the edge.",
    "foot": "Worked on the lower ends, basket upside down, so that the base stands clear.",
}


@dataclass(frozen=True)
class Kind(Named):
    """One border: `name` and `uk` name, `also` other names, `family` of FAMILIES, its `rows` or its `order` of work.

    `help` what it is, `source` a key of the sources.
    """

    name: str
    family: str
    rows: tuple[str, ...] = ()
    order: Rods | Plait | None = None
    uk: str = ""
    also: tuple[str, ...] = ()
    help: str = ""
    source: str = "practice"

    @property
    def foot(self) -> bool:
        """Worked downwards on the lower ends."""
        return self.family == "foot"

    @property
    def example(self) -> str:
        """What to write in a design."""
        return f'kind = "{self.name}"'

    @cached_property
    def border(self) -> Border:
        """The border itself, its moves worked out where it is told by its order."""
        return parse_border(list(self.rows)) if self.order is None else Border(rows_of(self.order), self.order)

_COUNT = ("no", "one", "two", "three", "four", "five", "six")


def _open(name: str, face: str, passes: int, help_: str, source: str, also: tuple[str, ...] = ()) -> Kind:
    return Kind(name, "open", (f"{face} {passes} in",), also=also, help=help_, source=source)


def _rod(down: int, help_: str, source: str = "practice", also: tuple[str, ...] = ()) -> Kind:
    name = f"{_COUNT[down]}-rod plain"
    also = (f"{_COUNT[down]}-rod", *also)
    return Kind(name, "rod", order=Rods(down), uk=f"{name} border", also=also, help=help_, source=source)


_OPEN = (
    _open("open behind 1", "behind", 1, "Behind the next and down beside the one after: the smallest scallop.", "gill"),
    _open("open over 1", "over", 1, "In front of 1 and in before the next but one.", "turner", ("scallop over 1",)),
    _open("open over 2", "over", 2, "In front of 2 and in; reaches well over the gap.", "turner", ("scallop over 2",)),
    _open("open over 3", "over", 3, "In front of 3 and in: wide, low arches.", "turner", ("scallop over 3",)),
    _open("open over 4", "over", 4, "In front of 4 and in: the widest, lacy scallop.", "turner", ("scallop over 4",)),
)
_TRAC = (
    Kind("trac behind 1, over 1", "trac", ("behind 1, over 1 in",), also=("simple trac",),
         help="The plainest edge that lies flat; the tips rest inside."),
    Kind("trac over 1, behind 1", "trac", ("over 1, behind 1 out",), source="white",
         help="In front of 1, behind the next and out; the tips are cut to lie against the one ahead."),
    Kind("trac behind 1, over 2", "trac", ("behind 1, over 2 in",), help="A little wider than the simplest trac."),
    Kind("trac behind 2, over 2", "trac", ("behind 2, over 2 in",),
         help="Twice as wide, for spokes that stand close."),
    Kind("trac behind 1, over 2, behind 1", "trac", ("behind 1, over 2, behind 1 out",),
         help="The way of a three-rod plain border, but each end done at once: flatter, and easier to close."),
    Kind("long trac", "trac", ("behind 1, over 1, behind 1, over 1, behind 1 out",), source="white",
         help="Under and over by ones past five: a flat band like weaving."),
)  # fmt: skip
_ROW = (
    Kind("one-row", "row", ("behind 2, over 1 in",), help="A single firm row."),
    Kind("closed over one", "row", ("behind 1 out", "over 1, behind 1 out"),
         also=("closed 1", "closed border 1"), source="gill",
         help="Behind 1 and out; then in front of 1, behind the next."),
    Kind("closed over two", "row", ("behind 1 out", "over 2, behind 1 out"),
         also=("closed 2", "closed border 2"), source="gill",
         help="Behind 1 and out; then in front of 2, behind the next."),
    Kind("closed over three", "row", ("behind 1 out", "over 3, behind 1 out"),
         also=("closed 3", "closed border 3"), source="gill",
         help="Behind 1 and out; then in front of 3, behind the next."),
    Kind("two-row", "row", ("behind 1 out", "over 1 in"), source="white",
         help="Behind 1 and out; then over 1 and pressed in: small and quick."),
    Kind("three-row", "row", ("behind 1 out", "over 2 out", "over 1 down"), source="shaw",
         help="Behind 1 and out, over 2, over 1 and down: rounded outside."),
    Kind("three-row, tips in", "row", ("behind 1 out", "over 3 in", "over 2 down"),
         help="Covers both faces of the edge and hides the tips."),
    Kind("four-row", "row", ("behind 1 out", "over 2 in", "over 1 out", "over 2 down"),
         help="The thickest of the row borders, for large baskets."),
)  # fmt: skip
_ROD = (
    _rod(2, "Two down behind 1; the first in front of 1 that stands, behind 1, the next brought down beside it.",
         "james"),
    _rod(3, "Three down behind 1; the first in front of 1 that stands, behind 1, the next brought down beside it.",
         "tinsley", ("three-rod border",)),
    _rod(4, "Four down behind 1; otherwise as with three. Round and rope-like.", "gill", ("four-rod border",)),
    _rod(5, "Five down behind 1; otherwise as with three. Needs long ends."),
    _rod(6, "Six down behind 1; otherwise as with three. The heaviest, for very close spokes."),
    Kind("three-rod behind 2", "rod", order=Rods(3, 1, 2),
         help="Three down behind 2, so that stout spokes bend less sharply; in front of 1, behind 2."),
    Kind("four-rod behind 2", "rod", order=Rods(4, 1, 2),
         help="Four down behind 2; in front of 1 that stands, behind 2, the next brought down beside it."),
    Kind("behind 1, in front of 2", "rod", order=Rods(4, 0, 1), source="gill",
         help="Four down behind 1; the first in front of the two that lie next, behind the first that stands."),
    Kind("three-rod without back rods", "rod", order=Rods(3, 1, 1, back_rods=False),
         help="As three-rod plain, but each end goes in after its front stroke and rests inside: no pairs lie out."),
    Kind("four-rod without back rods", "rod", order=Rods(4, 1, 1, back_rods=False),
         help="As four-rod plain, but each end goes in after its front stroke and rests inside: no pairs lie out."),
)  # fmt: skip
_ROLLED = (
    Kind("rope", "rolled", ("over 1 in", "over 1 out"), also=("rope border",), source="gill",
         help="In front of 1 and in; then over 1 to the outside."),
    Kind("reverse rope", "rolled", ("behind 1 out", "behind 1 out"), also=("reverse rope border",), source="gill",
         help="Behind 1 and out, twice: the rope twists the other way."),
    Kind("rolled", "rolled", ("behind 1 out", "over 1 in", "over 1 out"), also=("rolled coil",),
         help="Out, in and out again round the next each time: a full round coil on the edge, tips outside."),
)  # fmt: skip
_PLAITED = (
    Kind("plaited with three pairs", "plaited", order=Plait(3, 2), also=("plait", "plaited", "plaited border"),
         help="Three pairs plaited along the edge, begun with three extra reeds that the last ends replace."),
    Kind("plaited with three single reeds", "plaited", order=Plait(3, 1), also=("single plait",),
         help="The same with one reed in each group: light, and short of reed."),
)  # fmt: skip
_FOOT = (
    Kind("foot over 1, behind 1", "foot", ("over 1, behind 1 out",), also=("foot border",),
         help="In front of 1, behind 1: the usual small foot."),
    Kind("foot over 2, behind 1", "foot", ("over 2, behind 1 out",), source="gill",
         help="In front of 2, behind the third."),
    Kind("foot of two rows", "foot", ("behind 1 out", "over 1, behind 1 out"), source="gill",
         help="Behind 1 and out; then in front of 1, behind 1: a higher foot."),
    Kind("foot three-rod plain", "foot", order=Rods(3),
         help="The three-rod border worked downwards: a round, firm foot."),
)  # fmt: skip
_ALL = (*_OPEN, *_TRAC, *_ROW, *_ROD, *_ROLLED, *_PLAITED, *_FOOT)
BORDERS: dict[str, Kind] = {kind.name: kind for kind in _ALL}
_BY_ANY_NAME = {name.lower(): kind for kind in _ALL for name in (kind.name, kind.uk, *kind.also) if name}


_ANY_REACH = re.compile(r"(?:open|scallop) (over|behind) (\d+)")


def kind_named(name: object, where: str = "") -> Kind:
    """The record for a name in either wording. Raises DesignError, suggesting the nearest name.

    Open borders may be named for any reach, like "open over 7".
    """
    if not isinstance(name, str):
        raise DesignError(f"a border is a name, not {name!r:.40}.", where, 'Write it like "three-rod plain".')
    key = _plain(name)
    if (reach := _ANY_REACH.fullmatch(key)) is not None and key not in _BY_ANY_NAME:
        face, passes = reach[1], int(reach[2][:4])
        if not 1 <= passes <= LONGEST_MOVE:
            raise DesignError(f"a scallop passes 1 to {LONGEST_MOVE} spokes, not {reach[2][:8]}.", where)
        return _open(f"open {face} {passes}", face, passes, "A scallop of your own reach.", "derived")
    if key not in _BY_ANY_NAME:
        remedy = did_you_mean(key, _BY_ANY_NAME) if nearest(key, _BY_ANY_NAME) else "See: slype border."
        raise DesignError(f'there is no border called "{name[:40]}".', where, remedy)
    return _BY_ANY_NAME[key]


def _plain(name: str) -> str:
    key = " ".join(name[:200].lower().split())
    number = "|".join([*"123456", *_COUNT[1:]])
    return re.sub(
        rf"\b({number})[- ](rod|row)\b",
        lambda found: f"{_COUNT[int(found[1])] if found[1].isdigit() else found[1]}-{found[2]}",
        key,
    )


def is_name(text: str) -> bool:
    """Whether a text is, or is nearer to, the name of a border than a list of rows."""
    key = _plain(text)
    if key in _BY_ANY_NAME or _ANY_REACH.fullmatch(key):
        return True
    return key.split()[-1:] not in (["out"], ["in"], ["down"]) and nearest(key, _BY_ANY_NAME) is not None


def border_told(asked: str, where: str = "border") -> Border:
    """A border from its name or from rows in one text."""
    return kind_named(asked, where).border if is_name(asked) else parse_border(asked, where)


def named_as(border: Border, wording: str = "us") -> str:
    """The name of a border that is in the table (its upper edge first), else its rows in words."""
    for kind in BORDERS.values():
        if kind.border == border:
            return kind.named(wording)
    return border.words()


def named_fully(border: Border, wording: str = "us") -> str:
    """The name and the moves, or the moves alone of a border that has no name."""
    name, moves = named_as(border, wording), border.words()
    return moves if name == moves else f"{name}: {moves}"


# What can be finished with what is left ------------------------------------------------------------------------

ROUNDED_MM = MM_PER_IN / 16
"""Lengths are printed to an eighth of an inch: what misses by half of that is not missing."""


@dataclass(frozen=True)
class Finish:
    """One border for the ends at hand: its `need`, or None with the reason `why_not`; `spare_mm` over what it needs.

    `enough`: what is left covers the need. `just_short`: it misses by no more than the fingers hold, so that the least
    of the range is still there: possible for practised hands with pliers.
    """

    kind: Kind
    need: Need | None
    spare_mm: float = 0.0
    why_not: str = ""

    @property
    def enough(self) -> bool:
        return self.need is not None and self.spare_mm >= -ROUNDED_MM

    @property
    def just_short(self) -> bool:
        return (
            not self.enough and self.need is not None and self.need.length_mm + self.spare_mm >= self.need.range_mm[0]
        )


def finishes(left_mm: float, spacing_mm: float, spoke_mm: float, per_end: int = 1) -> list[Finish]:
    """Every border of the table against `left_mm` of end, the one that needs most first; what has no room last."""
    out = []
    for kind in BORDERS.values():
        try:
            need = border_need(kind.border, spacing_mm, spoke_mm, per_end)
        except Unweavable as no:
            out.append(Finish(kind, None, why_not=no.message))
        else:
            out.append(Finish(kind, need, left_mm - need.length_mm))
    return sorted(out, key=lambda one: (one.need is None, -(one.need.length_mm if one.need else 0)))
