"""The design file: TOML in, `Design` out, every fault named by file, table and key. Level 4.

The keys are records (`KEYS`), so that the reader, the help and the guide say the same. A file may state
`version = 1`; a newer version is refused politely.
"""

from __future__ import annotations

import itertools
import os
import tomllib
from dataclasses import dataclass, replace

from . import design as d
from .border import parse_border
from .colour import REED_COLOURS, hex_of
from .errors import DesignError, FileTrouble, did_you_mean
from .form import Form, check_wall
from .materials import Reed, own_reed, reed_named
from .quantity import parse_length, parse_mass
from .weaves import EVERY_END, Weave, free_weave, weave_named

VERSION = 1
MOST_BYTES = 200_000
MOST_BANDS = 100


@dataclass(frozen=True)
class Key:
    """One key of the file: its `table`, what it `takes`, and `help`."""

    table: str
    name: str
    takes: str
    help: str


KEYS = tuple(
    Key(*row)
    for row in (
        ("", "version", "1", "form of the file"),
        ("basket", "title", "text", "what the sheet is headed with"),
        (
            "basket",
            "hand",
            "right | left",
            "working hand; a right-handed maker works towards the right, seen from outside",
        ),
        ("basket", "wording", "us | uk", "spoke and rim, or stake and border"),
        ("basket", "units", "in | cm", "what is printed"),
        ("spokes", "reed", "reed", 'a reed, like "round 5" or { mm = 3.4 }'),
        ("spokes", "ends", "count", "standing ends at the side"),
        ("spokes", "inserted", "true | false", "side spokes pushed in beside base sticks, or base spokes turned up"),
        ("spokes", "per_end", "count", "reeds side by side in each end"),
        ("spokes", "colour", "colour", "colour of the spokes"),
        ("spokes", "base_reed", "reed", "reed of the base sticks, when side spokes are inserted"),
        ("spokes", "base_ends", "count", "ends round the base, when side spokes are inserted"),
        ("spokes", "insertion", "length", "how deep side spokes are pushed in"),
        ("form", "outline", "round", "shape from above"),
        ("form", "base", "length", "diameter of the base"),
        ("form", "wall", "list of [height, diameter]", "points of the wall from the base upwards"),
        ("band", "where", "base | side", "where the band is worked"),
        ("band", "weave", "weave", "name of the weave; leave out for a free weave"),
        ("band", "weavers", "count", "weavers of a free weave"),
        ("band", "over", "count", "spokes passed in front"),
        ("band", "under", "count", "spokes passed behind"),
        ("band", "cycle", "list of counts", "over, under, over, under … of a longer cycle"),
        ("band", "turns", "stroke | round | back", "how the weavers take turns in a free weave"),
        (
            "band",
            "reverse",
            "true | false | alternate",
            "lay the moved weaver under the others, or so in every second row",
        ),
        ("band", "strands", "count", "reeds worked as one (slewing)"),
        ("band", "groups", "count", "ends worked as one"),
        ("band", "reed", "reed", "reed of the weavers"),
        ("band", "colours", "list of colours", "one for all, one per weaver, or one per strand"),
        ("band", "rows", "count", "how far: so many rows"),
        ("band", "height", "length", "how far: so much along the surface"),
        ("band", "until", "length | top", "how far: to this base diameter, or to the top of the wall"),
        ("band", "start", "count", "space in which the first weaver is set, counted from 1"),
        ("band", "blocks", "{ rows, shift }", "after so many rows end the weavers and start so many spaces further on"),
        ("band", "length", "length", "length of one weaver, for joins"),
        ("border", "rows", "list of rows", 'each like "behind 1 out", "over 3 in", "over 2 down"'),
        ("colours", "*", "#rrggbb", "colours of your own by name"),
        ("reeds", "*", "table", "your own measurements by reed: mm, coil_mass, coil_length, strand"),
        ("pace", "strokes_per_minute", "number", "your weaving speed"),
        ("pace", "border_seconds", "number", "time for one end in one border row"),
        ("pace", "join_seconds", "number", "time for one join"),
        ("pace", "pack_seconds", "number", "time to pack one row down"),
        ("pace", "reserve_percent", "number", "extra reed to buy"),
    )
)
TABLES = tuple(dict.fromkeys(key.table for key in KEYS if key.table))
REED_KEYS = ("mm", "coil_mass", "coil_length", "strand")


def load(path: str | os.PathLike[str]) -> d.Design:
    """Read a design file. Raises FileTrouble when it cannot be read and DesignError when it is not a design."""
    name = os.path.basename(os.fspath(path)) or os.fspath(path)
    try:
        with open(path, "rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise FileTrouble("there is no such file.", os.fspath(path), "Check the name and the folder.") from None
    except OSError as trouble:
        raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", os.fspath(path)) from None
    if len(raw) > MOST_BYTES:
        raise DesignError(f"is larger than any design ({MOST_BYTES // 1000} kB).", name)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw[: trouble.start].count(b"\n") + 1
        raise DesignError(
            f"is not UTF-8 text: line {line} holds a byte that is not a letter.",
            name,
            "Save it as UTF-8 from your editor.",
        ) from None
    return parse(text, name)


def parse(text: str, name: str = "the design") -> d.Design:
    """A design from TOML text; `name` stands in messages. Raises DesignError."""
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise DesignError(
            f"is not TOML: {trouble}.", name, "Compare the line with the examples in the guide."
        ) from None
    except RecursionError:
        raise DesignError("is nested far deeper than any design.", name) from None
    except ValueError as trouble:  # a number with more digits than Python will read
        raise DesignError(f"holds a value that cannot be read: {trouble}.", name) from None
    try:
        return replace(_design(document), name=name)
    except DesignError as trouble:
        raise trouble.inside(name) from None


# Reading values ------------------------------------------------------------------------------------------------


class _Table:
    """A TOML table that knows its name and complains in a maker's words; `done` refuses what was never asked for."""

    def __init__(self, values: object, place: str, known: tuple[str, ...] | None = None) -> None:
        if not isinstance(values, dict):
            raise DesignError(f"should be a table, not {_shown(values)}.", place, f"Write it as [{place}].")
        self.values, self.place = values, place
        if known is not None:
            for key in values:
                if key not in known:
                    raise DesignError(f'unknown key "{key[:40]}".', place, did_you_mean(key[:40], known))

    def at(self, key: str) -> str:
        return f"{self.place}, {key}"

    def text(self, key: str, default: str | None, choices: tuple[str, ...] = ()) -> str:
        value = self.values.get(key, default)
        if value is None:
            raise DesignError("is missing.", self.at(key))
        if not isinstance(value, str):
            raise DesignError(f"should be text, not {_shown(value)}.", self.at(key))
        if choices and value not in choices:
            raise DesignError(
                f'"{value[:40]}" is not one of its values.', self.at(key), did_you_mean(value[:40], choices)
            )
        return value

    def count(self, key: str, default: int | None, low: int, high: int) -> int | None:
        value = self.values.get(key, default)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            raise DesignError(f"should be a whole number, not {_shown(value)}.", self.at(key))
        if not low <= value <= high:
            raise DesignError(f"{_shown(value)} is out of reach.", self.at(key), f"From {low} to {high}.")
        return value

    def number(self, key: str, default: float, low: float, high: float) -> float:
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise DesignError(f"should be a number, not {_shown(value)}.", self.at(key))
        if not low <= value <= high:
            raise DesignError(f"{_shown(value)} is out of reach.", self.at(key), f"From {low:g} to {high:g}.")
        return float(value)

    def flag(self, key: str, default: bool) -> bool:
        value = self.values.get(key, default)
        if not isinstance(value, bool):
            raise DesignError(f"should be true or false, not {_shown(value)}.", self.at(key))
        return value

    def length(self, key: str, low: float = 1.0, high: float = 3000.0) -> float | None:
        if key not in self.values:
            return None
        value = parse_length(self.values[key], self.at(key))
        if not low <= value <= high:
            raise DesignError(
                f'"{self.values[key]}" is not a size this can have.',
                self.at(key),
                f"From {low:g} mm to {high / 1000:g} m.",
            )
        return value


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    text = f'"{value}"' if isinstance(value, str) else _digits(value)
    return text if len(text) <= 40 else text[:40] + "…"


def _digits(value: object) -> str:
    try:
        return str(value)
    except ValueError:  # an integer beyond Python's own limit for printing
        return "a number with thousands of digits"


def _known(table: str) -> tuple[str, ...]:
    return tuple(key.name for key in KEYS if key.table == table)


# Tables --------------------------------------------------------------------------------------------------------


def _design(document: dict) -> d.Design:
    version = document.get("version", VERSION)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise DesignError(f"should be a whole number from 1, not {_shown(version)}.", "version")
    if version > VERSION:
        raise DesignError(
            f"the file has form {_digits(version)[:12]}; this slype reads form {VERSION}.",
            "version",
            "Use a newer slype to open it.",
        )
    for key in document:
        if key != "version" and key not in TABLES:
            raise DesignError(f'unknown table "{key[:40]}".', "", did_you_mean(key[:40], TABLES))
    for needed in ("spokes", "form", "band", "border"):
        if needed not in document:
            shown = f"[[{needed}]]" if needed == "band" else f"[{needed}]"
            raise DesignError(f"the table {shown} is missing.", "", "See the first design in the README.")
    basket = _Table(document.get("basket", {}), "basket", _known("basket"))
    own = _own_reeds(document.get("reeds", {}))
    palette = _own_colours(document.get("colours", {}))
    form = _form(document["form"])
    spokes = _spokes(document["spokes"], own, palette)
    bands = _bands(document["band"], own, palette, spokes)
    border = _Table(document["border"], "border", _known("border"))
    return d.Design(
        title=basket.text("title", "Untitled basket")[:120],
        hand=basket.text("hand", "right", d.HANDS),
        wording=basket.text("wording", "us", d.WORDINGS),
        units=basket.text("units", "in", d.UNITS),
        spokes=spokes,
        form=form,
        bands=bands,
        border=parse_border(border.values.get("rows"), "border, rows"),
        palette={
            name: palette.get(name) or hex_of(name)
            for name in dict.fromkeys([spokes.colour, *(c for band in bands for c in band.colours)])
        },
        pace=_pace(document.get("pace", {})),
    )


def _own_reeds(values: object) -> dict[str, Reed]:
    out = {}
    for key, row in _Table(values, "reeds").values.items():
        table = _Table(row, f"reeds, {key[:40]}", REED_KEYS)
        mm = table.number("mm", 0.0, 0.3, 30.0) if "mm" in table.values else None
        mass = parse_mass(table.values["coil_mass"], table.at("coil_mass")) if "coil_mass" in table.values else None
        out[key] = own_reed(
            key,
            mm,
            mass,
            table.length("coil_length", 1000.0, 1e6),
            table.length("strand", 100.0, 20_000.0),
            table.place,
        )
    return out


def _own_colours(values: object) -> dict[str, str]:
    table = _Table(values, "colours")
    return {name: hex_of(table.text(name, None), table.at(name)) for name in table.values}


def _reed(value: object, own: dict[str, Reed], where: str) -> Reed:
    if isinstance(value, dict):
        table = _Table(value, where, REED_KEYS)
        mm = table.number("mm", 0.0, 0.3, 30.0) if "mm" in table.values else None
        mass = parse_mass(table.values["coil_mass"], table.at("coil_mass")) if "coil_mass" in table.values else None
        return own_reed(
            "", mm, mass, table.length("coil_length", 1000.0, 1e6), table.length("strand", 100.0, 20_000.0), where
        )
    return reed_named(value, own, where)


def _colour(value: object, palette: dict[str, str], where: str) -> str:
    if not isinstance(value, str):
        raise DesignError(f"a colour is a name or #rrggbb, not {_shown(value)}.", where)
    if value in palette:
        return value
    known = [*palette, *REED_COLOURS]
    if value not in REED_COLOURS and not value.startswith("#"):
        raise DesignError(
            f'the colour "{value[:40]}" is not defined.',
            where,
            did_you_mean(value[:40], known) + ' Or define it under [colours], like rust = "#a4502c".',
        )
    hex_of(value, where)
    return value


def _form(values: object) -> Form:
    table = _Table(values, "form", _known("form"))
    outline = table.text("outline", "round")
    if outline in ("oval", "rectangle"):
        raise DesignError(
            f'"{outline}" baskets cannot be worked out yet.', table.at("outline"), 'For now only "round" can.'
        )
    table.text("outline", "round", ("round",))
    base = table.length("base", 20.0)
    if base is None:
        raise DesignError("is missing.", table.at("base"), 'For example base = "7 in".')
    points = table.values.get("wall")
    if not isinstance(points, list):
        raise DesignError(
            "should be a list of [height, diameter].",
            table.at("wall"),
            'For example [["0 in", "7 in"], ["4 in", "9 in"]].',
        )
    if len(points) > 50:
        raise DesignError(f"{len(points)} points is more than a wall needs.", table.at("wall"), "At most 50.")
    wall = []
    for i, point in enumerate(points, start=1):
        where = f"{table.at('wall')}, point {i}"
        if not isinstance(point, list) or len(point) != 2:
            raise DesignError("should be [height, diameter].", where, 'For example ["4 in", "9 in"].')
        wall.append((parse_length(point[0], where), parse_length(point[1], where)))
    check_wall(base, tuple(wall), table.at("wall"))
    return Form(base, tuple(wall))


def _spokes(values: object, own: dict[str, Reed], palette: dict[str, str]) -> d.Spokes:
    table = _Table(values, "spokes", _known("spokes"))
    for needed in ("reed", "ends"):
        if needed not in table.values:
            raise DesignError("is missing.", table.at(needed))
    ends = table.count("ends", None, d.FEWEST_ENDS, d.MOST_ENDS)
    inserted = table.flag("inserted", False)
    for only in ("base_reed", "base_ends", "insertion"):
        if only in table.values and not inserted:
            raise DesignError(
                "only belongs to inserted side spokes.", table.at(only), "Add inserted = true or leave it out."
            )
    base_reed = table.values.get("base_reed")
    return d.Spokes(
        reed=_reed(table.values["reed"], own, table.at("reed")),
        ends=ends,
        inserted=inserted,
        per_end=table.count("per_end", 1, 1, 6),
        colour=_colour(table.values.get("colour", "natural"), palette, table.at("colour")),
        base_reed=None if base_reed is None else _reed(base_reed, own, table.at("base_reed")),
        base_ends=table.count("base_ends", max(d.FEWEST_ENDS, ends // 2), d.FEWEST_ENDS, d.MOST_ENDS)
        if inserted
        else 0,
        insertion_mm=table.length("insertion", 5.0, 300.0) or 25.4,
    )


def _bands(values: object, own: dict[str, Reed], palette: dict[str, str], spokes: d.Spokes) -> tuple[d.Band, ...]:
    if not isinstance(values, list):
        raise DesignError(f"should be a list of tables, not {_shown(values)}.", "band", "Write each band as [[band]].")
    if not values:
        raise DesignError("there is no band to weave.", "band", "Write at least one [[band]].")
    if len(values) > MOST_BANDS:
        raise DesignError(f"{len(values)} bands is more than one basket holds.", "band", f"At most {MOST_BANDS}.")
    bands = tuple(_band(value, f"band {i}", own, palette, spokes) for i, value in enumerate(values, start=1))
    if any(a.where == "side" and b.where == "base" for a, b in itertools.pairwise(bands)):
        raise DesignError("a base band comes after a side band.", "band", "List the bands in the order you weave them.")
    return bands


def _band(value: object, place: str, own: dict[str, Reed], palette: dict[str, str], spokes: d.Spokes) -> d.Band:
    table = _Table(value, place, _known("band"))
    if not table.values:
        raise DesignError("is empty.", place, "Give at least where, weave, reed, colours and rows.")
    where = table.text("where", "side", ("base", "side"))
    weave, strands = _weave(table)
    if "reed" not in table.values:
        raise DesignError("is missing.", table.at("reed"), 'For example reed = "round 3".')
    colours = table.values.get("colours", ["natural"])
    if isinstance(colours, str):
        colours = [colours]
    if not isinstance(colours, list) or not colours:
        raise DesignError("should be a list of colours.", table.at("colours"), 'For example ["rust", "sand"].')
    if len(colours) > d.MOST_ENDS:
        raise DesignError(f"{len(colours)} colours is more than there are weavers.", table.at("colours"))
    colours = tuple(_colour(c, palette, table.at("colours")) for c in colours)
    ends = spokes.ends_at_base if where == "base" else spokes.ends
    group = table.count("groups", 1, 1, ends)
    spaces = len(d.group_sizes(ends, group))
    _check_colours(weave, spaces, colours, strands, table.at("colours"))
    band = d.Band(
        where=where,
        weave=weave,
        strands=strands,
        colours=colours,
        group=group,
        reed=_reed(table.values["reed"], own, table.at("reed")),
        start=table.count("start", 1, 1, spaces) - 1,
        blocks=_blocks(table, spaces),
        strand_mm=table.length("length", 100.0, 20_000.0),
    )
    return replace(band, **_how_far(table, where))


def _check_colours(weave: Weave, spaces: int, colours: tuple[str, ...], strands: int, where: str) -> None:
    from .effects import weaver_colours  # the rule lives there; asked early so that the message names the key

    weaver_colours(weave, spaces, colours, strands, where)


def _how_far(table: _Table, where: str) -> dict[str, object]:
    given = [key for key in ("rows", "height", "until") if key in table.values]
    if len(given) != 1:
        said = "does not say how far it goes" if not given else f"says how far it goes {len(given)} times"
        raise DesignError(f"{said}.", table.place, 'Give one of rows = 12, height = "1 1/2 in", until = "7 in".')
    if given == ["rows"]:
        return {"rows": table.count("rows", None, 1, d.MOST_ROWS)}
    if given == ["height"]:
        return {"height_mm": table.length("height")}
    if table.values["until"] == "top":
        if where == "base":
            raise DesignError('a base has no "top".', table.at("until"), "Give a diameter.")
        return {"to_top": True}
    if where == "side":
        raise DesignError('on a side, until can only be "top".', table.at("until"), "Give rows or height instead.")
    return {"until_mm": table.length("until", 10.0)}


def _blocks(table: _Table, spaces: int) -> d.Blocks | None:
    if "blocks" not in table.values:
        return None
    inner = _Table(table.values["blocks"], table.at("blocks"), ("rows", "shift"))
    rows = inner.count("rows", None, 1, d.MOST_ROWS)
    if rows is None:
        raise DesignError("is missing.", inner.at("rows"), "For example blocks = { rows = 6, shift = 2 }.")
    return d.Blocks(rows, inner.count("shift", 1, 0, spaces))


def _weave(table: _Table) -> tuple[Weave, int]:
    """The weave with what the band changes in it, and how many strands are worked as one."""
    reverse = table.values.get("reverse", None)
    if reverse not in (None, True, False, "alternate"):
        raise DesignError(
            f"{_shown(reverse)} is not one of its values.", table.at("reverse"), 'true, false or "alternate".'
        )
    cycle = _cycle(table)
    weavers = table.count("weavers", None, 1, d.MOST_ENDS)
    if "weave" in table.values:
        weave = weave_named(table.values["weave"], table.at("weave"))
        if "turns" in table.values:
            raise DesignError(
                "a named weave already says how its weavers take turns.",
                table.at("turns"),
                "Leave out turns, or leave out weave.",
            )
        if weavers not in (None, weave.weavers):
            raise DesignError(
                f"{weave.name} has {weave.weavers or 'as many weavers as spaces'}, not {weavers}.",
                table.at("weavers"),
                "Leave out weavers, or leave out weave for a free weave.",
            )
        if cycle is not None:
            weave = _with_cycle(weave, cycle, table.place)
    else:
        if cycle is None:
            raise DesignError(
                "names no weave.", table.place, 'Give weave = "three-rod wale", or over, under and weavers.'
            )
        weave = free_weave(cycle, weavers or 1, table.text("turns", ""), where=table.place)
    strands = table.count("strands", weave.strands, 1, 6)
    if reverse is not None:
        if weave.turns != "stroke" and reverse:
            raise DesignError(
                f"{weave.name} has no others to be laid under.",
                table.at("reverse"),
                "Only weavers that take turns can be reversed.",
            )
        weave = replace(weave, reverse={True: (True,), False: (False,), "alternate": (False, True)}[reverse])
    return replace(weave, strands=strands), strands


def _cycle(table: _Table) -> tuple[tuple[int, int], ...] | None:
    over, under = table.count("over", None, 1, 50), table.count("under", None, 1, 50)
    listed = table.values.get("cycle")
    if listed is None:
        if over is None and under is None:
            return None
        return ((over or 1, under or 1),)
    if over is not None or under is not None:
        raise DesignError("say either over and under, or cycle, not both.", table.at("cycle"))
    good = (
        isinstance(listed, list)
        and 2 <= len(listed) <= 40
        and len(listed) % 2 == 0
        and all(isinstance(n, int) and not isinstance(n, bool) and 1 <= n <= 50 for n in listed)
    )
    if not good:
        raise DesignError(
            "should list over, under, over, under … as whole numbers from 1.",
            table.at("cycle"),
            "For example cycle = [2, 1, 1, 1].",
        )
    return tuple(zip(listed[::2], listed[1::2], strict=True))


def _with_cycle(weave: Weave, cycle: tuple[tuple[int, int], ...], where: str) -> Weave:
    changed = replace(weave, cycle=cycle)
    if weave.turns == "stroke" and changed.reach != weave.weavers and cycle != weave.cycle:
        raise DesignError(
            f"{weave.name} has {weave.weavers} weavers, so over and under must add up to {weave.weavers}; "
            f"here they make {changed.reach}.",
            where,
            "Or leave out weave and give weavers, over and under.",
        )
    if weave.weavers == EVERY_END and len(cycle) > 1:
        raise DesignError(f"{weave.name} takes one over and one under.", where)
    return changed


def _pace(values: object) -> d.Pace:
    table, usual = _Table(values, "pace", _known("pace")), d.Pace()
    return d.Pace(
        strokes_per_minute=table.number("strokes_per_minute", usual.strokes_per_minute, 0.5, 300),
        border_seconds=table.number("border_seconds", usual.border_seconds, 1, 600),
        join_seconds=table.number("join_seconds", usual.join_seconds, 0, 600),
        pack_seconds=table.number("pack_seconds", usual.pack_seconds, 0, 600),
        reserve=table.number("reserve_percent", usual.reserve * 100, 0, 100) / 100,
    )
