"""Sheets and lessons of a class: one of each for every different basket, what their files are called, who gets them."""

from __future__ import annotations

from dataclasses import dataclass

from ...kit.seats import Basket, seats_named
from ...kit.values import Seat
from ...kit.worked import Worked
from ...words import several
from .blocks import Block, Lines, Part, Table


@dataclass(frozen=True, eq=False)
class Handed:
    """What the seats of one basket are handed: `name` of its files, the `basket`, a `seat` that weaves it."""

    name: str
    basket: Basket
    seat: Seat

    @property
    def sheet(self) -> str:
        """The file of its pattern sheet."""
        return f"sheet-{self.name}.pdf"

    @property
    def lesson(self) -> str:
        """The file of its lesson."""
        return f"lesson-{self.name}.html"

    @property
    def copies(self) -> int:
        """A sheet for each of its seats, and one for a kit that is kept back."""
        return len(self.basket.seats)


def handed(made: Worked) -> list[Handed]:
    """Every different basket that is woven: hand, colours, size, words."""
    out: dict[str, Handed] = {}
    for basket in {id(kit.basket): kit.basket for kit in made.kits}.values():
        seat = next(kit.seat for kit in made.kits if kit.basket is basket)
        name = _name(seat)
        name = f"{name}-{len(out) + 1}" if name in out else name
        out[name] = Handed(name, basket, seat)
    return list(out.values())


def _name(seat: Seat) -> str:
    """What files of one basket are called: `saltings-left-small-moss-for-rust`."""
    parts = [seat.hand, seat.size_name.replace(" ", "").replace("%", "") if seat.size != 1.0 else ""]
    parts += [f"{wears}-for-{colour}".replace("#", "") for colour, wears in seat.colours]
    if seat.wording != "us" or seat.units != "in":
        parts.append(f"{seat.wording}-{seat.units}")
    parts.insert(0, seat.design.removesuffix(".toml"))
    return "".join(sign if sign.isalnum() or sign == "-" else "-" for sign in "-".join(p for p in parts if p))[:80]


def own_of(each: Handed) -> str:
    """What is this basket's own: `left-handed, small, moss for rust`."""
    seat = each.seat
    size = [seat.size_name or f"{seat.size:.0%}"] if seat.size != 1.0 else []
    worn = [f"{wears} for {colour}" for colour, wears in seat.colours] or ["as drawn"]
    return ", ".join([f"{seat.hand}-handed", *size, *worn])


def to_print(made: Worked) -> Part:
    """Which sheets to print and how many of each, and which lesson is whose."""
    found = handed(made)
    rows = tuple(
        (each.sheet, str(each.copies), seats_named(list(each.basket.seats)).split(" ", 1)[1], own_of(each))
        for each in found
    )
    many = several(sum(each.copies for each in found), "sheet")
    said = f"{many} in all, a pattern sheet for every kit; each lesson is called as its sheet (lesson-….html)."
    if made.asked.bind:
        said = f"{many} in all, bound in at the end of this folder, one for every kit; lessons are called alike."
    blocks: list[Block] = [Table(("File", "Copies", "For seats", "Its own"), rows, frozenset({1}), 3, True)]
    return Part("sheets", "Sheets to print", (*blocks, Lines((said,), True)), False)
