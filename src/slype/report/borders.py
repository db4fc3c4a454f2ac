"""What `slype border` prints: one border told from first bend to last trim, or the list of them.

Nothing is reckoned here.
"""

from __future__ import annotations

from itertools import groupby

from rich.text import Text

from ..borders.rows import Border, Need, trimmed_on
from ..borders.sentences import before, closing, lay_first
from ..borders.table import FAMILIES, Finish, named_as
from ..quantity import show_length
from ..words import say, worded
from .printed import Parts, between, bullets, columns, heading, part_cells, sentence

OVER, BEHIND, GAP = "━┯━", "━│━", "━"
TIPS = {"out": "▸", "in": "▹", "down": "▾"}
LEGEND = "━┯━ in front of a spoke, ━│━ behind it; ▸ rests outside, ▹ inside, ▾ is tucked down. One end, left to right."


def drawn(border: Border, hand: str = "right") -> str:
    """One end's way past the spokes, seen from outside, in a line of signs."""
    out, inside = ["┗"], False
    for i, row in enumerate(border.rows):
        for over, count in row.legs:
            out += [OVER if over != inside else BEHIND] * count
        inside = row.finish == "in"
        out.append(TIPS[row.finish] if i == len(border.rows) - 1 else GAP)
    if hand == "right":
        return "".join(out)
    return "".join(reversed(out)).translate(str.maketrans("┗▸▹", "┛◂◃"))


def border(
    asked: Border, need: Need, units: str, wording: str, ends: int | None, hand: str = "right", foot: bool = False
) -> Parts:
    """The report on one border."""
    table = columns("Part", ">Length", "Why", "On whose word")
    for part in need.parts:
        table.add_row(*part_cells(part, units, wording))
    spread = f"expect {between(need.range_mm, units)}"
    table.add_row("in all", show_length(need.length_mm, units), spread, "", style="bold")
    smallest = say(f"It can be worked on {asked.smallest_ends} {{spoke}} ends or more", wording)
    if ends is not None:
        smallest += f"; {ends} is enough" if ends >= asked.smallest_ends else f", so {ends} is too few"
    place = "below the first row, basket upside down" if foot else "above the last row"
    name = named_as(asked, wording)
    known_ends = ends if ends is not None and ends >= asked.smallest_ends else None
    out: Parts = [Text(sentence(name), style="bold")]
    if name != asked.words():
        out.append(Text(sentence(asked.words())))

    def said(lines: list[str]):
        return bullets(worded(say(line, wording, hand), wording) for line in lines)

    return [
        *out,
        Text(f"\n  {drawn(asked, hand)}\n"),
        Text(say("Each {spoke} end needs ", wording) + f"{show_length(need.length_mm, units)} {place}."),
        table,
        heading("Before"),
        said(before(asked)),
        heading("How to begin"),
        said(lay_first(asked)),
        heading("How it closes"),
        bullets(worded(line, wording) for line in closing(asked, known_ends)),
        Text(f"\n{smallest}."),
    ]


def borders(found: list[Finish], title: str, units: str, wording: str, hand: str = "right") -> Parts:
    """The list by families, with what each needs and a drawing of one end's way."""
    out: Parts = [Text(title, style="bold"), Text(worded(LEGEND if hand == "right" else _mirrored(LEGEND), wording))]
    for family, members in groupby(found, key=lambda one: one.kind.family):
        table = columns("Name", ">Needs", ">Ends", "Trim", "=One end")
        for one in members:
            needs = show_length(one.need.length_mm, units) if one.need else "no room"
            kind = one.kind
            table.add_row(
                kind.named(wording), needs, f"{kind.border.smallest_ends}+", trimmed_on(kind.border),
                drawn(kind.border, hand),
            )  # fmt: skip
        out += [heading(sentence(family)), Text(worded(FAMILIES[family], wording)), table]
    return out


def _mirrored(legend: str) -> str:
    return legend.translate(str.maketrans("▸▹", "◂◃")).replace("left to right", "right to left")


def finishing(found: list[Finish], title: str, units: str, wording: str, hand: str = "right") -> Parts:
    """What can be finished with what is left, the longest first; then what falls just short."""
    out: Parts = [Text(title, style="bold")]
    enough, short = [one for one in found if one.enough], [one for one in found if one.just_short]
    short = sorted(short, key=lambda one: -one.spare_mm)  # what lacks least first
    for head, some, spare in (
        ("Can be finished", enough, "To spare"),
        ("Fall just short: only with pliers, and no slip", short, "Missing"),
    ):
        if not some:
            continue
        table = columns("Name", "Family", ">Needs", f">{spare}", "=One end")
        for one in some:
            assert one.need is not None, "they can be worked"
            table.add_row(
                one.kind.named(wording), one.kind.family, show_length(one.need.length_mm, units),
                show_length(abs(one.spare_mm), units), drawn(one.kind.border, hand),
            )  # fmt: skip
        out += [heading(head), table]
    if not enough:
        out.append(Text("\nNone of them can be finished with that."))
    return out
