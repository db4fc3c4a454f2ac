"""Money in words: every sum opened into its lines."""

from __future__ import annotations

from ...kit.money import Money, Sum, cost, reed_sums
from ...kit.shopping import Line
from ...kit.worked import Worked
from ...quantity import MM_PER_FT, show_time
from ...words import listed, several, worded
from .blocks import Block, Heading, Lines, Opened, Part, Table
from .goods import shown

NAMES = {
    "dye": "Dye",
    "teaching": "Teaching",
    "preparing": "Preparing",
    "helpers": "Helpers",
    "room": "Room",
    "travel": "Travel",
    "extras": "Extras",
    "making": "Making",
    "hour": "an hour at the bench",
}


def named(key: str, made: Worked) -> str:
    """What a line is called: a reed by the name that the maker's shop has for it."""
    reeds = {cut.reed.key: cut.reed.named(made.kits[0].seat.wording) for cut in made.reeds if cut.reed.key}
    rest = key.removeprefix("reed ")
    reed, comma, colour = rest.partition(", ")
    if rest != key and reed in reeds:
        return f"{reeds[reed]}{comma}{colour}"
    return NAMES.get(key, key[:1].upper() + key[1:])


def how(line: Sum, sign: str, units: str, wording: str = "us") -> str:
    """`3.4 m at $12.00 for 100 m`, or for whoever measures in inches `11 ft at $3.66 for 100 ft`."""
    count, unit, price = line.how
    if unit == "m" and units == "in":
        feet = 1000 / MM_PER_FT
        return f"{count * feet:.0f} ft at {shown(sign, price / feet * 100)} for 100 ft"
    if unit == "m":
        return f"{count:.1f} m at {shown(sign, price * 100)} for 100 m"
    unit = worded(unit, wording)
    plural = unit if abs(count - 1) < 1e-9 else f"{unit}s"
    many = f"{count:.2f}".rstrip("0").rstrip(".") if unit == "hour" else f"{count:g}"
    return f"{many} {plural} at {shown(sign, price)}"


def _opened(made: Worked, rows: int) -> tuple[Opened, ...]:
    """What the lines of the class open into: reed by where it comes from, preparing by its jobs, sums by parts."""
    sums, out = made.sums, []
    assert sums is not None and made.when is not None, "told of a class that has kits"
    sign = sums.currency
    for line in sums.lines:
        reeds = [each for each in made.lines if line.key == f"reed {each.reed.key or each.reed.name}"]
        if reeds:
            out.append(_reed_opened(made, reeds[0], sign))
        elif line.key == "preparing":
            out.append(tuple(
                (JOB_NAMES.get(job.key, job.key), show_time(job.minutes * 60), "before the class")
                for job in made.when.jobs if job.minutes and job.last < 0
            ))  # fmt: skip
        else:
            out.append(())
    grows = sum(line.amount for line in sums.lines if line.each)
    fixed = sum(line.amount for line in sums.lines if not line.each)
    out += [()] * (rows - len(out) - 2)
    whole = (
        ("whatever the seats", shown(sign, fixed), "teaching, dye, room and the like"),
        ("growing with the seats", shown(sign, grows), f"{shown(sign, grows / max(1, sums.seats))} for each"),
        ("overhead", shown(sign, (fixed + grows) * sums.overhead), f"{sums.overhead:.0%} on both"),
    )
    return (*out, whole, (("in all", shown(sign, sums.total), f"shared by {sums.seats}"),))


JOB_NAMES = {
    "dye": "minding the baths", "cut": "cutting", "bundle": "bundling and labels", "weave": "weaving beforehand",
}  # fmt: skip


def _reed_opened(made: Worked, line: Line, sign: str) -> Opened:
    """One reed from the shopping list to what is used up."""
    (cut,) = [each for each in made.reeds if each.reed == line.reed]
    reed = reed_sums(made.asked, cut, line)
    return (
        ("on the shopping list", shown(sign, reed.paid), several(line.packs, "pack")),
        ("left of the packs", shown(sign, -reed.left), "for the next class"),
        ("from the shelf", shown(sign, reed.shelf), f"{several(line.used, 'strand')}, at today's price"),
        ("offcuts kept", shown(sign, -reed.kept), "long enough to be used again"),
    )


def _fees_opened(sums: Money) -> tuple[Opened, ...]:
    """How each fee comes about."""
    sign, out = sums.currency, []
    for seats, fee in sums.fees:
        whole = cost(sums.lines, sums.overhead, seats, sums.seats)
        out.append((
            ("costs", shown(sign, whole), f"with {seats} seats, overhead included"),
            ("for each", shown(sign, whole / seats), f"rounded up to {shown(sign, sums.rounding)}: {shown(sign, fee)}"),
        ))  # fmt: skip
    return tuple(out)


def reed_told(made: Worked) -> str:
    """How the reed of the shopping list and the reed charged hang together, in one line."""
    assert made.sums is not None, "told of a class that has kits"
    reed, sign = made.sums.reed, made.sums.currency
    steps = [("less what is left of the packs", -reed.left), ("with your shelf's, at today's price", reed.shelf),
             ("less offcuts that you keep", -reed.kept)]  # fmt: skip
    said = [f"{words}, {shown(sign, abs(amount))}" for words, amount in steps if abs(amount) >= 0.005]
    paid = f"Reed here is what the kits use up, {shown(sign, reed.used)}: on the shopping list {shown(sign, reed.paid)}"
    return f"{'; '.join([paid, *said])}."


def money(made: Worked) -> Part | None:
    """What the class costs and what to ask; None where no price is said at all."""
    sums = made.sums
    if sums is None or not sums.lines:
        return None
    sign, units, wording = sums.currency, made.kits[0].seat.units, made.kits[0].seat.wording
    rows = [(named(line.key, made), how(line, sign, units, wording), shown(sign, line.amount)) for line in sums.lines]
    if sums.overhead:
        before = sum(line.amount for line in sums.lines)
        rows.append(("Overhead", f"{sums.overhead:.0%} of the above", shown(sign, before * sums.overhead)))
    rows.append(("In all", "", shown(sign, sums.total)))
    rows.append(("For each seat", f"shared by {sums.seats}", shown(sign, sums.per_seat)))
    fees = [(str(n), shown(sign, fee)) for n, fee in sums.fees]
    blocks: list[Block] = [
        Table(("For", "Reckoned", "Amount"), tuple(rows), frozenset({2}), 1, opens=_opened(made, len(rows))),
        Heading("The fee at which it pays"),
        Table(("Seats", "Fee for each"), tuple(fees), frozenset({1}), -1, opens=_fees_opened(sums)),
    ]
    if sums.reed.paid or sums.reed.shelf:
        blocks[1:1] = [Lines((reed_told(made),))]
    lines = [f"Fees and prices are rounded up to {shown(sign, sums.rounding)}."]
    if sums.fee is not None and sums.left is not None:
        lines.append(
            f"At a fee of {shown(sign, sums.fee)} the class of {sums.seats} "
            + (f"leaves {shown(sign, sums.left)}" if sums.left >= 0 else f"loses {shown(sign, -sums.left)}")
            + (f"; it pays from {sums.pays_from} seats on." if sums.pays_from else "; it pays at no count of seats.")
        )
    if sums.missing:
        lines.append(f"Not counted, for want of a price: {listed([named(key, made) for key in sums.missing])}.")
    blocks.append(Lines(tuple(lines)))
    if sums.basket:
        rows = [
            (named(line.key, made), how(line, sign, units, wording), shown(sign, line.amount)) for line in sums.basket
        ]
        if sums.overhead:
            before = sum(line.amount for line in sums.basket)
            rows.append(("Overhead", f"{sums.overhead:.0%} of the above", shown(sign, before * sums.overhead)))
        lacks = listed([named(key, made) for key in sums.lacks])
        rows.append(("Price", "rounded up", shown(sign, sums.price)) if sums.price is not None else
                    ("Price", f"not reckoned: no price for {lacks}", "–"))  # fmt: skip
        blocks += [
            Heading(f"A finished {made.kits[0].basket.design.title}"),
            Table(("For", "Reckoned", "Amount"), tuple(rows), frozenset({2}), 1),
        ]
    return Part("money", "Money", tuple(blocks))
