"""Shelf, prices, packs and dyes of the class file, from tables or CSV rows. Faults are told one by one."""

from __future__ import annotations

from ...design.file.stuff import read_colour, read_reed
from ...design.file.toml import Table
from ...errors import DesignError, Place, nearest
from ...quantity import parse_length, parse_mass
from ...reeds import REEDS, Reed
from ...such_as import such_a_reed, such_as
from ..dyeing import KINDS, SHADES
from ..values import Dye, Pack, Prices, Remark, Strands
from .keys import known
from .sheets import Row, Sheet, count, number

LONGEST_STRAND_MM = 20_000.0
MONEY = tuple(key for key in known("prices") if key not in ("currency", "overhead_percent"))
PRICED = (*MONEY, "overhead_percent", "currency")
"""What a price list may name beside reeds."""


def _at(name: str, table: str, number: int) -> Place:
    """Where table `number` (from 1) of a list stands."""
    return Place(f"{name}, {table} {number}", (table, number - 1))


def _strand(text: object, where: str) -> float:
    mm = parse_length(text, where)
    if mm < 0:
        raise DesignError("must not be below nought.", where)
    if not 50.0 <= mm <= LONGEST_STRAND_MM:
        raise DesignError(f'"{text}" is no strand of reed.', where, "From 5 cm (2 in) to 20 m.")
    return mm


def _from_weight(reed: Reed, grams: float, longest: float, shortest: float | None) -> int:
    """Strands in so much reed, at the mean of their lengths."""
    mean = longest if shortest is None else (longest + shortest) / 2
    return int(grams / reed.heavy_g_per_mm / mean)


def _range(longest: float, shortest: float | None, where: str) -> float | None:
    if shortest is not None and shortest > longest:
        raise DesignError("is longer than the longest.", where, "Write the shorter of the two here.")
    return None if shortest is not None and shortest >= longest - 1e-6 else shortest


# The shelf -----------------------------------------------------------------------------------------------------


def shelf_rows(sheet: Sheet, own: dict[str, Reed], palette: dict[str, str]) -> tuple[list[Strands], list[Remark]]:
    """Strands on the shelf, row by row of a CSV file."""
    out, remarks = [], list(sheet.remarks)
    for row in sheet.rows:
        try:
            out.append(_shelf_row(row, own, palette))
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return [each for each in out if each.count], remarks


def _shelf_row(row: Row, own: dict[str, Reed], palette: dict[str, str]) -> Strands:
    if "reed" not in row.cells:
        raise DesignError("is missing.", row.at("reed"), f'For example "{such_a_reed("round 3")}".')
    reed = read_reed(row.cells["reed"], own, row.at("reed"))
    return _strands(row, reed, read_colour(row.cells.get("colour", "natural"), palette, row.at("colour")))


def _strands(row: Row, reed: Reed, colour: str) -> Strands:
    """Strands of one reed by count, coils or weight."""
    cells = row.cells
    longest = _strand(cells["length"], row.at("length")) if "length" in cells else reed.strand_mm
    shortest = _strand(cells["shortest"], row.at("shortest")) if "shortest" in cells else None
    shortest = _range(longest, shortest, row.at("shortest"))
    if "count" in cells:
        many = count(cells["count"], row.at("count"), 0, 100_000)
    elif "coils" in cells:
        grams = number(cells["coils"], row.at("coils"), 0, 1000) * reed.coil_g
        many = _from_weight(reed, grams, longest, shortest)
    elif "mass" in cells:
        many = _from_weight(reed, parse_mass(cells["mass"], row.at("mass")), longest, shortest)
    else:
        raise DesignError("says no count, coils or mass.", row.place, "Count the strands, or weigh them.")
    return Strands(reed, colour, longest, many, shortest, row.place)


def shelf_tables(
    tables: list[object], name: str, own: dict[str, Reed], palette: dict[str, str]
) -> tuple[list[Strands], list[Remark]]:
    """Strands on the shelf, of [[shelf]] tables."""
    out, remarks = [], []
    for i, values in enumerate(tables, start=1):
        try:
            out += _shelf_table(Table(values, _at(name, "shelf", i), known("shelf")), own, palette)
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return [each for each in out if each.count], remarks


def _shelf_table(table: Table, own: dict[str, Reed], palette: dict[str, str]) -> list[Strands]:
    if "reed" not in table.values:
        raise DesignError("is missing.", table.at("reed"), f'For example reed = "{such_a_reed("round 3")}".')
    reed = read_reed(table.values["reed"], own, table.at("reed"))
    colour = read_colour(table.values.get("colour", "natural"), palette, table.at("colour"))
    if "strands" in table.values:
        return [
            Strands(reed, colour, mm, many, None, table.place)
            for mm, many in _counted(table.values["strands"], table.at("strands"))
        ]
    cells = {
        key: str(table.values[key]) for key in ("length", "shortest", "count", "coils", "mass") if key in table.values
    }
    return [_strands(_TableRow(table.place, 0, cells, table.place.path), reed, colour)]


class _TableRow(Row):
    def at(self, column: str) -> Place:
        return self.place / column

    @property
    def place(self) -> Place:
        return Place(self.file, self.path)


def _pair() -> str:
    return such_as('["10 ft", 14]', '["3 m", 14]')


def _counted(value: object, where: Place) -> list[tuple[float, int]]:
    if not isinstance(value, list) or not all(isinstance(pair, list) and len(pair) == 2 for pair in value):
        raise DesignError("should be a list of [length, count].", where, f"For example [{_pair()}].")
    out = []
    for i, (length, many) in enumerate(value, start=1):
        at = where.entry("entry", i - 1)
        if isinstance(many, bool) or not isinstance(many, int):
            raise DesignError("counts strands in whole numbers.", at, f"For example {_pair()}.")
        if not 0 <= many <= 100_000:
            said = "must not be below nought." if many < 0 else "is more than any shelf holds."
            raise DesignError(f"{many} strands {said}" if many < 0 else said, at, "From 0 to 100000.")
        out.append((_strand(length, at), many))
    return out


# Prices --------------------------------------------------------------------------------------------------------


def price_rows(sheet: Sheet, own: dict[str, Reed]) -> tuple[dict[str, float], str | None, list[Pack], list[Remark]]:
    """(money by key, currency, packs, remarks) of a price list. An item is a reed, or one of the keys of [prices]."""
    money, packs, remarks, currency = {}, [], list(sheet.remarks), None
    for row in sheet.rows:
        try:
            if "item" not in row.cells:
                raise DesignError("is missing.", row.at("item"), _items())
            item = row.cells["item"].strip()
            key = item.lower().replace(" ", "_")
            if key == "currency":
                currency = row.cells.get("price", "$")[:4]
            elif key in MONEY or key == "overhead_percent":
                if "price" not in row.cells:
                    raise DesignError("is missing.", row.at("price"), "Leave the row out if it has no price.")
                money[key] = number(row.cells["price"], row.at("price"))
            else:
                packs.append(_pack_row(row, _priced(item, key, own, row.at("item"))))
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return money, currency, packs, remarks


def _items() -> str:
    return f'A reed like "{such_a_reed("round 3")}", or one of these: {", ".join(PRICED)}.'


def _priced(item: str, key: str, own: dict[str, Reed], where: Place) -> Reed:
    """The reed that a row prices. Raises DesignError, where it is none and no other thing with a price, for the nearest
    of either."""
    try:
        return read_reed(item, own, where)
    except DesignError as trouble:
        near = nearest(key, PRICED)
        if near is None and nearest(item, (*own, *REEDS)):
            raise
        said = f'there is neither a reed nor a price called "{item[:40]}".'
        raise DesignError(said, trouble.where, f'Did you mean "{near}"?' if near else _items()) from None


def _pack_row(row: Row, reed: Reed) -> Pack:
    cells = row.cells
    strand = _strand(cells["strand"], row.at("strand")) if "strand" in cells else reed.strand_mm
    shortest = _strand(cells["shortest"], row.at("shortest")) if "shortest" in cells else None
    return Pack(
        reed,
        parse_mass(cells["mass"], row.at("mass")) if "mass" in cells else reed.coil_g,
        number(cells["price"], row.at("price")) if "price" in cells else None,
        strand,
        _range(strand, shortest, row.at("shortest")),
        row.place,
    )


def pack_tables(tables: list[object], name: str, own: dict[str, Reed]) -> tuple[list[Pack], list[Remark]]:
    """Packs, of [[pack]] tables."""
    out, remarks = [], []
    for i, values in enumerate(tables, start=1):
        try:
            table = Table(values, _at(name, "pack", i), known("pack"))
            if "reed" not in table.values:
                raise DesignError("is missing.", table.at("reed"), f'For example reed = "{such_a_reed("round 3")}".')
            reed = read_reed(table.values["reed"], own, table.at("reed"))
            there = [key for key in ("mass", "price", "strand", "shortest") if key in table.values]
            cells = {key: str(table.values[key]) for key in there}
            out.append(_pack_row(_TableRow(table.place, 0, cells, table.place.path), reed))
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return out, remarks


def read_prices(values: object, name: str, listed: dict[str, float], currency: str | None) -> Prices:
    """Prices of the [prices] table, over those of the price list. Raises DesignError."""
    table = Table(values, Place(f"{name}, prices", ("prices",)), known("prices"))
    money = {key: table.number(key, 0.0, 0.0, 1e6) for key in MONEY if key in table.values}
    overhead = table.number("overhead_percent", listed.get("overhead_percent", 0.0), 0.0, 1000.0) / 100
    found = {**{key: value for key, value in listed.items() if key != "overhead_percent"}, **money}
    sign = table.text("currency", currency or "$")
    if len(sign) > 4:
        said = f'"{sign[:20]}" is too long for a sign.'
        raise DesignError(said, table.at("currency"), 'For example "$" or "kr".')
    if found.get("rounding") == 0:
        raise DesignError("rounds to nothing.", table.at("rounding"), "For example 0.5, 1 or 5.")
    return Prices(currency=sign, overhead=overhead, **found)


# Dyes ----------------------------------------------------------------------------------------------------------


def dye_tables(
    tables: list[object], name: str, own: dict[str, Reed], palette: dict[str, str]
) -> tuple[list[Dye], list[Remark]]:
    """Dyes, of [[dye]] tables."""
    out, remarks = [], []
    for i, values in enumerate(tables, start=1):
        try:
            out.append(_dye(Table(values, _at(name, "dye", i), known("dye")), own, palette))
        except DesignError as trouble:
            remarks.append(Remark.of(trouble))
    return out, remarks


def _dye(table: Table, own: dict[str, Reed], palette: dict[str, str]) -> Dye:
    def mass(key: str) -> float | None:
        return parse_mass(table.values[key], table.at(key)) if key in table.values else None

    swatch: dict[str, float | None] = {"swatch_dye_g": mass("swatch_dye"), "swatch_reed_g": mass("swatch_reed")}
    if (swatch["swatch_dye_g"] is None) != (swatch["swatch_reed_g"] is None):
        raise DesignError("a swatch has dye and reed.", table.place, "Weigh both, or give neither.")
    if "swatch_of" in table.values:
        swatch["swatch_mm"] = read_reed(table.values["swatch_of"], own, table.at("swatch_of")).diameter_mm
    return Dye(
        read_colour(table.values.get("colour"), palette, table.at("colour")),
        table.text("kind", "", ("", *KINDS)),
        table.text("shade", "medium", SHADES),
        bath_l=table.number("litres", 8.0, 0.5, 1000.0),
        packet_g=mass("packet"),
        where=table.place,
        **swatch,
    )
