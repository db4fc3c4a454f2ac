"""The whole class as parts in order, and in a screenful."""

from __future__ import annotations

from ...kit.worked import Worked
from .blocks import TICK, Facts, Part, Table
from .cutting import cut_told
from .days import clock, preparing, the_day, verdict
from .goods import dyeing, shopping, shown
from .kits import counted, longer_told, remark_told, seat_title
from .papers import to_print
from .sums import money

MOST_REMARKS = 16


def facts(made: Worked) -> Facts:
    """Day, hours, place, kits: what a class is headed with."""
    asked, out = made.asked, []
    if asked.day is not None:
        out.append(("Day", f"{asked.day:%A} {asked.day.day} {asked.day:%B %Y}"))
    breaks = ", ".join(f"{clock(a)} to {clock(b)}" for a, b in asked.breaks)
    hours = f"{clock(asked.starts)} to {clock(asked.ends)}"
    out.append(("Hours", f"{hours}; breaks {breaks}" if breaks else hours))
    if asked.place:
        out.append(("Place", asked.place))
    out.append(("Kits", counted(made.kits, made.kits[0].seat.wording)))
    if asked.prepared != "nothing":
        out.append(("Woven before", asked.prepared))
    out.append(("Lengths", lengths_whence(made)))
    return Facts(tuple(out))


def lengths_whence(made: Worked) -> str:
    """Of which basket the lengths are, quick or settled, and how long spokes are cut."""
    whence = "of the settled baskets, every reed at rest" if made.settled else (
        "quick ones, from rows simply stacked, good to a few in a hundred"
    )  # fmt: skip
    return f"{whence}; {longer_told(made)}" if made.asked.first_time else whence


def seats(made: Worked) -> Part:
    """The table of all seats, for the wall."""
    names = made.asked.names and any(kit.seat.name for kit in made.kits)
    uk = made.kits[0].seat.wording == "uk"
    rows = []
    for kit in made.kits:
        seat = kit.seat
        colours = ", ".join(f"{wears} for {colour}" for colour, wears in seat.colours) or "as drawn"
        row = [f"{'Spare ' if seat.spare else ''}{seat.number}", *([seat.name] if names else []), seat.hand,
               kit.basket.design.title, seat.size_name or "full", colours]  # fmt: skip
        rows.append(tuple(row))
    head = ("Seat", *(("Name",) if names else ()), "Hand", "Basket", "Size", "Colours" if uk else "Colors")
    return Part("seats", "Seats", (Table(head, tuple(rows), wide=len(head) - 1),))


def packing(made: Worked) -> Part:
    """The tick list for packing: a row for every kit, a box for every bundle."""
    most = max(len(kit.basket.bundles) for kit in made.kits)
    rows = [
        (seat_title(kit.seat, made.asked.names), kit.seat.hand,
         *(TICK if n <= len(kit.basket.bundles) else "" for n in range(1, most + 1)))
        for kit in made.kits
    ]  # fmt: skip
    head = ("Kit", "Hand", *(str(n) for n in range(1, most + 1)))
    return Part("packing", "Packing", (Table(head, tuple(rows), grid=True),))


def parts(made: Worked) -> list[Part]:
    """Every part but the drawings and the kits, in the order of the folder."""
    before = [preparing(made), to_print(made), shopping(made), dyeing(made)]
    found = [*before, the_day(made), money(made), seats(made), packing(made)]
    return [each for each in found if each is not None]


def report(made: Worked) -> list[str]:
    """The class in a screenful."""
    wording, units, sums = made.kits[0].seat.wording, made.kits[0].seat.units, made.sums
    assert sums is not None, "told of a class that has kits"
    out = [f"{made.asked.title}: {counted(made.kits, wording)}.", *verdict(made), ""]
    for cut in made.reeds:
        if cut.strands:
            out.append(f"{cut.reed.named(wording)}: {cut_told(cut, units)}")
    buy = [f"{line.packs} × {line.reed.named(wording)}" for line in made.lines if line.packs]
    if buy:
        total = sum(line.cost or 0.0 for line in made.lines)
        out.append(f"Buy {', '.join(buy)}" + (f": {shown(sums.currency, total)}." if total else "."))
    dyed = [bath.colour for bath in made.baths if bath.dye is not None]
    if dyed:
        out.append(f"Dye, in this order: {', '.join(dyed)}.")
    if sums.lines:
        sign = sums.currency
        out.append(f"Costs {shown(sign, sums.total)}, {shown(sign, sums.per_seat)} "
                   "for each seat.")  # fmt: skip
    out.append(f"Lengths are {lengths_whence(made)}.")
    if made.remarks:  # what could not be read is complained of beside, and told again here, where it is looked for
        out += ["", "To watch out for", *(f"- {remark_told(each, wording)}" for each in made.remarks[:MOST_REMARKS])]
        more = len(made.remarks) - MOST_REMARKS
        out += [f"- and {more} more of less weight, in the folder"] if more > 0 else []
    return out
