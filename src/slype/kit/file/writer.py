"""A class written as a class file: all that was asked, roster and shelf with it, to keep or to go on from."""

from __future__ import annotations

from collections.abc import Iterable

from ...edit.lists import key_text, written
from ...quantity import show_cut
from ...reeds import REEDS, Reed
from ..values import Class, Prices, Rules, Seat, Strands
from ..waiting import ANSWER_MINUTES
from .inlined import MARK

HEAD = MARK + " {name} -o FOLDER\n"


def class_text(asked: Class, name: str = "class.toml") -> str:
    """The class as TOML, which reads as the same class again. The designs are named by their files' names."""
    units = asked.seats[0].units
    out = [HEAD.format(name=name), "version = 1\n", _main(asked)]
    sizes = {seat.size_name: seat.size for seat in asked.seats if seat.size_name and not seat.size_name.endswith("%")}
    if sizes:
        out.append(_table("sizes", {size: f"{share * 100:g} %" for size, share in sizes.items()}))
    if asked.palette:
        out.append(_table("colours", dict(asked.palette)))
    own = _own_reeds(asked)
    for key, reed in own.items():
        out.append(_table(f"reeds.{key_text(key)}", {"mm": round(reed.diameter_mm, 3)}))
    out += [_table("student", _seat(seat, asked), True) for seat in asked.students]
    out += [_shelf(each, units) for each in asked.shelf]
    out += [
        _table("pack", {
            "reed": each.reed.key, "mass": f"{each.mass_g:.1f} g", "price": each.price,
            "strand": _length(each.strand_mm, units), "shortest": _length(each.shortest_mm, units),
        }, True)
        for each in asked.packs
    ]  # fmt: skip
    out.append(_prices(asked.prices))
    out += [
        _table("dye", {
            "colour": each.colour, "kind": each.kind or None, "shade": each.shade,
            "swatch_dye": _mass(each.swatch_dye_g), "swatch_reed": _mass(each.swatch_reed_g),
            "swatch_of": {"mm": round(each.swatch_mm, 3)} if each.swatch_mm else None,
            "litres": each.bath_l, "packet": _mass(each.packet_g),
        }, True)
        for each in asked.dyes
    ]  # fmt: skip
    if asked.pace or asked.spread or asked.asks_every or asked.answer_minutes != ANSWER_MINUTES:
        spread = {"spread_percent": asked.spread[0][1] * 100} if asked.spread else {}
        spread |= {"asks_every": asked.asks_every, "answer_minutes": asked.answer_minutes} if asked.asks_every else {}
        out.append(_table("pace", {**dict(asked.pace), **spread}))
    if asked.days:
        out.append(_table("days", dict(asked.days)))
    out.append(_rules(asked.rules, units))
    if asked.labels is not None:
        values = {key.removesuffix("_mm"): f"{mm:g} mm" for key, mm in vars(asked.labels).items() if "_mm" in key}
        out.append(_table("labels", {**values, "columns": asked.labels.columns, "rows": asked.labels.rows}))
    return "\n".join(text for text in out if text)


def _main(asked: Class) -> str:
    spare = len(asked.seats) - len(asked.students)
    hours = [f"{minutes // 60}:{minutes % 60:02d}" for minutes in (asked.starts, asked.ends)]
    breaks = [[f"{m // 60}:{m % 60:02d}" for m in each] for each in asked.breaks]
    text = _table("class", {
        "title": asked.title, "place": asked.place or None, "hours": hours, "breaks": breaks or None,
        "design": asked.designs[0].name, "helpers": asked.helpers or None, "spare": spare or None,
        "prepared": asked.prepared, "names": asked.names, "bind": asked.bind or None, "paper": asked.paper,
    })  # fmt: skip
    return text + (f"day = {asked.day.isoformat()}\n" if asked.day is not None else "")


def _seat(seat: Seat, asked: Class) -> dict[str, object]:
    return {
        "seat": seat.number, "name": (seat.name if asked.names else "") or None, "hand": seat.hand,
        "wording": seat.wording, "units": seat.units, "skill": seat.skill,
        "design": seat.design if seat.design != asked.designs[0].name else None,
        "size": seat.size_name or (None if seat.size == 1.0 else f"{seat.size * 100:g} %"),
        "colours": dict(seat.colours) or None,
    }  # fmt: skip


def _shelf(each: Strands, units: str) -> str:
    length = _length(each.length_mm, units)
    values: dict[str, object] = {"reed": each.reed.key, "colour": each.colour}
    if each.measured:
        values["strands"] = [[length, each.count]]
    else:
        values |= {"count": each.count, "length": length, "shortest": _length(each.shortest_mm, units)}
    return _table("shelf", values, True)


def _prices(prices: Prices) -> str:
    money = {key: value for key, value in vars(prices).items() if key not in ("currency", "overhead", "rounding")}
    return _table("prices", {
        "currency": prices.currency, **money, "overhead_percent": prices.overhead * 100 or None,
        "rounding": prices.rounding,
    })  # fmt: skip


def _rules(rules: Rules, units: str) -> str:
    return _table("cutting", {
        "aim": rules.aim, "least": _length(rules.least_mm, units), "useful": _length(rules.useful_mm, units),
        "seconds": rules.seconds, "chance_percent": rules.chance * 100, "seed": rules.seed,
        "join_more": rules.join_more or None, "longer": rules.longer, "dye_cut": rules.dye_cut or None,
    })  # fmt: skip


def _own_reeds(asked: Class) -> dict[str, Reed]:
    """Reeds of shelf and packs whose thickness is the maker's own."""
    reeds = [*(each.reed for each in asked.shelf), *(each.reed for each in asked.packs)]
    return {each.key: each for each in reeds if each.key and each.measured and each != REEDS.get(each.key)}


def _length(mm: float | None, units: str) -> str | None:
    """A length that reads back as it was: exact to a tenth of a millimetre."""
    if mm is None:
        return None
    eighths = round(mm / 25.4 * 8)
    if units != "in" or abs(mm / 25.4 * 8 - eighths) > 1e-6:
        return f"{mm:.1f} mm"
    return show_cut(mm, units, round, 8)  # as at the bench: feet for long reed, inches for short


def _mass(grams: float | None) -> str | None:
    return None if grams is None else f"{grams:g} g"


def _table(name: str, values: dict[str, object], listed: bool = False) -> str:
    lines: Iterable[str] = (
        f"{key_text(key)} = {written(value)}\n" for key, value in values.items() if value is not None
    )
    text = "".join(lines)
    return f"[[{name}]]\n{text}" if listed else f"[{name}]\n{text}" if text else ""
