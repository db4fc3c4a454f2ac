"""The design file: TOML in, `Design` out, every fault named by file, table and key.

The keys are records in `keys`; reeds and colours are read in `stuff`, bands in `bands`.
A file may state `version = 1`; a newer version is refused politely.
"""

from __future__ import annotations

import math
import os
import re
import tomllib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ... import files
from ...borders.rows import Border, parse_border
from ...borders.table import kind_named
from ...colour import hex_of
from ...errors import DesignError, Place
from ...form.tiers import FEWEST_ENDS, MOST_ENDS
from ...form.wall import OUTLINES, Form, check_wall, ring_of
from ...quantity import parse_length
from ...reeds import Reed
from ...such_as import speaking_to, such_a_reed, such_as
from .. import rules
from .. import values as d
from ..counts import check_sticks
from .bands import read_bands
from .bases import ends_from_base, read_base
from .bye_spokes import read_bye
from .feet import read_foot
from .gauge import read_gauge
from .handles import read_handles
from .keys import FLAGS, NAMES_IN, NUMBERS, OTHER_WORDS, known_keys
from .lids import read_lid
from .stuff import read_colour, read_own_colours, read_own_reeds, read_reed
from .toml import Table, copied, digits, shown, tables_in_place

VERSION = 1
MOST_DOTS = 30
_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_FAR_DOWN = re.compile(rf"(?<![\w-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{MOST_DOTS}}}")
"""A key of very many parts (a.a.a…). The reader of TOML takes time and memory with the square of them: 20,000 parts in
40 kB take it twenty seconds and gigabytes."""


def load(path: str | os.PathLike[str]) -> d.Design:
    """Read a design file. Raises FileTrouble when it cannot be read and DesignError when it is not a design."""
    name = os.path.basename(os.fspath(path)) or os.fspath(path)
    return parse(files.text_of(files.read(os.fspath(path)), name), name)


def parse(text: str, name: str = "the design") -> d.Design:
    """A design from TOML text; `name` stands in messages. Raises DesignError."""
    return parsed(tables_of(text, name), name)


def parsed(document: dict[str, Any], name: str = "the design") -> d.Design:
    """A design from the tables of its text."""
    basket = document.get("basket")
    said = basket if isinstance(basket, dict) else {}
    with speaking_to(said.get("units"), said.get("wording")):
        try:
            design = replace(design_of(document), name=name)
        except DesignError as trouble:
            raise trouble.inside(name) from None
    object.__setattr__(design, "tables", copied(document))
    return design


def toml_of(text: str, name: str = "the design") -> dict[str, Any]:
    """The tables of a design's text as they are written. Raises DesignError when it is no TOML."""
    if not text.strip():
        raise DesignError("is empty.", name, "See the first design in the README.")
    if _FAR_DOWN.search(text):
        raise DesignError("is nested far deeper than any design.", name)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        with speaking_to(_as_written(text, "units"), _as_written(text, "wording")):
            raise _not_toml(text, str(trouble), name) from None
    except RecursionError:
        raise DesignError("is nested far deeper than any design.", name) from None
    except ValueError as trouble:  # a number with more digits than Python will read
        raise DesignError(f"holds a value that cannot be read: {trouble}.", name) from None


def wording_of(text: str) -> str:
    """The wording that a design's text asks for, "us" or "uk", as far as it can be read."""
    try:
        basket = toml_of(text).get("basket")
    except DesignError:
        return "uk" if _as_written(text, "wording") == "uk" else "us"
    return "uk" if isinstance(basket, dict) and basket.get("wording") == "uk" else "us"


def _as_written(text: str, key: str) -> str:
    """What a text says of a key of one word, also where it is not TOML as a whole; "" where it says nothing."""
    found = re.search(rf"""^[ \t]*{key}[ \t]*=[ \t]*["'](\w{{2}})["']""", text, re.MULTILINE)
    return found[1] if found else ""


def tables_of(text: str, name: str = "the design") -> dict[str, Any]:
    """The tables of a design's text under slype's own names (see `in_own_words`). Raises DesignError."""
    return own_tables(toml_of(text, name), name)


def own_tables(written: dict[str, Any], name: str = "the design") -> dict[str, Any]:
    """The same of the tables as they are written."""
    try:
        tables, _ = in_own_words(written)
    except DesignError as trouble:
        raise trouble.inside(name) from None
    return tables


def in_own_words(tables: dict[str, Any]) -> tuple[dict[str, Any], list[tuple[tuple[str | int, ...], str]]]:
    """(the tables with `OTHER_WORDS` in slype's own, [(path as written, slype's word)], the deepest first).

    Raises DesignError where a thing stands there under both names.
    """
    found: list[tuple[tuple[str | int, ...], str]] = []
    return _in_own_words(tables, (), found), found


def _in_own_words(value: Any, path: tuple[str | int, ...], found: list[tuple[tuple[str | int, ...], str]]) -> Any:
    if len(path) > MOST_DOTS:
        return value  # deeper than any design: who reads the tables says so
    if isinstance(value, list):
        return [_in_own_words(each, (*path, i), found) for i, each in enumerate(value)]
    if not isinstance(value, dict):
        return value
    out = {}
    own_names = len(path) == 1 and (path[0] in NAMES_IN or OTHER_WORDS.get(str(path[0])) in NAMES_IN)
    for key, inner in value.items():
        word = str(key if own_names else OTHER_WORDS.get(key, key))
        if word != key and word in value:
            where = Place.of(*path, word)
            raise DesignError(f'stands there twice, once as "{key}".', where, f'Keep one of them, under "{word}".')
        out[word] = _in_own_words(inner, (*path, key), found)
        if word != key:
            found.append(((*path, key), word))
    return out


def _not_toml(text: str, trouble: str, name: str) -> DesignError:
    """What a maker most likely got wrong in the line where the reader gave up."""
    found = re.search(r"\(at line (\d+), column \d+\)", trouble)
    lines = text.splitlines()
    number = min(int(found[1]), len(lines)) if found else len(lines)
    line = lines[number - 1].strip() if lines else ""
    if any(sign in line for sign in "“”„‟«»"):
        hint = 'Use straight quotes ("), not curly ones.'
    elif line.count('"') % 2:
        hint = (
            'A quote is missing or one too many: text needs a straight quote (") at both ends, inches inside it "in".'
        )
    elif (word := re.search(r"(\w+)\s*=\s*[A-Za-z]+\s*(?:#|$)", line)) and word[1] in FLAGS:
        hint = f"{word[1]} is true or false, in small letters and without quotes: {word[1]} = true."
    elif twice := re.search(r"Cannot declare \((.+?),?\) twice", trouble):
        table = ".".join(part.strip(" '\"") for part in twice[1].split(","))
        return DesignError(
            f"the table [{table}] begins twice, the second time in line {number}.", name,
            "Put all its keys below one heading, and leave the other out.",
        )  # fmt: skip
    elif (word := re.search(r"(\w+)\s*=\s*[A-Za-z](?!rue\b|alse\b)", line)) and word[1] in NUMBERS:
        hint = f"{word[1]} is a number, in figures: {word[1]} = {NUMBERS[word[1]]}."
    elif re.search(r"=\s*[A-Za-z](?!rue\b|alse\b)", line):
        hint = f'Text needs a straight quote (") at both ends, like reed = "{such_a_reed("round 5")}".'
    elif "uplicate" in trouble or "overwrite" in trouble:
        hint = "A key or table stands there twice; keep one of them."
    elif "Unclosed" in trouble or "]" in trouble:
        hint = "A comma, a quote or a closing bracket seems to be missing there or just before."
    else:
        hint = "Compare the line with the examples in the guide."
    shown_line = line if len(line) <= 60 else line[:60] + "…"
    plain = trouble.split(" (at ")[0].replace("\n", " ")
    return DesignError(f"is not TOML: line {number}, {shown_line!r}: {plain[:80]}.", name, hint)


def design_of(document: dict[str, Any]) -> d.Design:
    """A design from the tables of its file. Raises DesignError naming table and key."""
    version = document.get("version", VERSION)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise DesignError(f"should be a whole number from 1, not {shown(version)}.", "version")
    if version > VERSION:
        raise DesignError(
            f"the file has form {digits(version)[:12]}; this slype reads form {VERSION}.",
            "version",
            "Use a newer slype to open it.",
        )
    if "class" in document:
        own = document["class"].get("design") if isinstance(document["class"], dict) else None
        named = f", or name its design here: {own[:60]}" if isinstance(own, str) and own.isprintable() else ""
        raise DesignError(
            "is a class file, not a design.", "", f"Give it to: slype class FILE -o FOLDER{named}.",
        )  # fmt: skip
    tables_in_place(document)
    for needed in ("spokes", "form", "band", "border"):
        if needed not in document:
            table = f"[[{needed}]]" if needed == "band" else f"[{needed}]"
            raise DesignError(f"the table {table} is missing.", "", "See the first design in the README.")
    basket = Table(document.get("basket", {}), "basket", known_keys("basket"))
    own = read_own_reeds(document.get("reeds", {}))
    palette = read_own_colours(document.get("colours", {}))
    form = _form(document["form"])
    spokes = spokes_of(document)
    bands = read_bands(document["band"], own, palette, spokes)
    if "insertion" in document["spokes"] and not spokes.inserted and not any(band.add for band in bands):
        raise DesignError(
            "only belongs to spokes that are pushed in.", Place.of("spokes", "insertion"), "Leave it out."
        )
    base = read_base(document.get("base", {}), spokes, form, bands)
    check_sticks(form, spokes, bands, base.is_board)
    lid = None
    if "lid" in document:
        lid = read_lid(document["lid"], own, palette, lambda values: _spokes(values, own, palette))
    bye_spokes = read_bye(document["bye_spokes"], own, palette, spokes, bands) if "bye_spokes" in document else None
    foot = read_foot(document["foot"], own, palette, spokes, bands, base.is_board) if "foot" in document else None
    handles = read_handles(document.get("handle", []), own, palette)
    border = Table(document["border"], "border", known_keys("border"))
    return d.Design(
        title=rules.title_of(basket.text("title", rules.UNTITLED)),
        hand=basket.text("hand", "right", d.HANDS),
        wording=basket.text("wording", "us", d.WORDINGS),
        units=basket.text("units", "in", d.UNITS),
        spokes=spokes,
        form=form,
        bands=bands,
        border=_border(border),
        palette={
            name: palette.get(name) or hex_of(name)
            for name in dict.fromkeys(
                [
                    spokes.colour,
                    *([bye_spokes.colour] if bye_spokes else []),
                    *([foot.colour, *foot.band.colours] if foot else []),
                    *(c for band in bands for c in band.colours),
                    *(each.colour for each in handles),
                    *([lid.mat.spokes.colour, *(c for band in lid.mat.bands for c in band.colours)] if lid else []),
                ]
            )
        },
        pace=_pace(document.get("pace", {})),
        prices=_prices(document["prices"], own) if "prices" in document else None,
        base=base,
        handles=handles,
        lid=lid,
        bye_spokes=bye_spokes,
        foot=foot,
        gauge=read_gauge(document["gauge"], own) if "gauge" in document else None,
    )


def _border(table: Table) -> Border:
    if "kind" not in table.values:
        return parse_border(table.values.get("rows"), Place.of("border", "rows"))
    if "rows" in table.values:
        raise DesignError("a border has either a kind or rows of its own.", "border", "Leave one of them out.")
    kind = kind_named(table.text("kind", None), Place.of("border", "kind"))
    if kind.foot:
        raise DesignError(
            f'"{kind.name}" is worked on the lower ends, not on the upper edge.', Place.of("border", "kind"),
            "Choose another for the edge (see: slype border), or name it under [foot], or as foot of a board.",
        )  # fmt: skip
    return kind.border


def _form(values: object) -> Form:
    table = Table(values, "form", known_keys("form"))
    outline = table.text("outline", "round", OUTLINES)
    if "base" not in table.values:
        example = such_as('"7 in"', '"18 cm"') if outline == "round" else such_as(*_OVAL_BASE)
        raise DesignError("is missing.", table.at("base"), f"For example base = {example}.")
    if outline != "rectangle" and "corner" in table.values:
        raise DesignError(
            "only belongs to a rectangle.", table.at("corner"), 'Leave it out, or say outline = "rectangle".'
        )
    if outline == "round":
        base = table.length("base", 20.0)
        assert base is not None, "the key is there"
        points = _wall_points(table, 2)
        wall = tuple((height, across) for height, across in points)
        check_wall(base, wall, table.at("wall"))
        return Form(base, wall)
    corner = (table.length("corner", 5.0) or 25.4) if outline == "rectangle" else 0.0
    base_sides = _sides(outline, corner, _two_lengths(table), table.at("base"))
    points = _wall_points(table, 3)
    sides = tuple(
        _sides(outline, corner, point[1:], table.at("wall").entry("point", i)) for i, point in enumerate(points)
    )
    base, *across = (ring_of(*each) / math.pi for each in (base_sides, *sides))
    wall = tuple((point[0], ring) for point, ring in zip(points, across, strict=True))
    check_wall(base, wall, table.at("wall"))
    return Form(base, wall, outline, base_sides, sides)


_OVAL_BASE = '["9 in", "5 in"]', '["23 cm", "13 cm"]'


def _two_lengths(table: Table) -> tuple[float, float]:
    base = table.values["base"]
    if not isinstance(base, list) or len(base) != 2:
        raise DesignError(
            "should be [length, width] where the outline is not round.",
            table.at("base"),
            f"For example {such_as(*_OVAL_BASE)}.",
        )
    length, width = (parse_length(each, table.at("base")) for each in base)
    return length, width


def _sides(outline: str, corner: float, sides: Sequence[float], where: str) -> tuple[float, float, float]:
    length, width = sides
    if min(length, width) < 20:
        raise DesignError("this size is absurd for a basket.", where, "Lengths and widths from 2 cm (3/4 in).")
    if length < width:
        raise DesignError("is wider than it is long.", where, "Write the length first.")
    if outline == "oval":
        return length, width, width / 2
    if 2 * corner > width:
        raise DesignError("is narrower than its two corners.", where, "Make the corner smaller, or the outline oval.")
    return length, width, corner


def _wall_points(table: Table, values: int) -> list[tuple[float, ...]]:
    points, of = table.values.get("wall"), "[height, diameter]" if values == 2 else "[height, length, width]"
    if values == 2:
        start = such_as('["0 in", "7 in"]', '["0 cm", "18 cm"]')
        example = such_as('["4 in", "9 in"]', '["10 cm", "23 cm"]')
    else:
        start = such_as('["0 in", "9 in", "5 in"]', '["0 cm", "23 cm", "13 cm"]')
        example = such_as('["4 in", "11 in", "7 in"]', '["10 cm", "28 cm", "18 cm"]')
    if not isinstance(points, list):
        raise DesignError(f"should be a list of {of}.", table.at("wall"), f"For example [{start}, {example}].")
    if len(points) < 2:
        raise DesignError("a wall needs at least two points.", table.at("wall"), f"For example [{start}, {example}].")
    if len(points) > 50:
        raise DesignError(f"{len(points)} points is more than a wall needs.", table.at("wall"), "At most 50.")
    out = []
    for i, point in enumerate(points):
        where = table.at("wall").entry("point", i)
        if not isinstance(point, list) or len(point) != values:
            raise DesignError(f"should be {of}.", where, f"For example {example}.")
        out.append(tuple(parse_length(each, where) for each in point))
    return out


def spokes_of(document: dict[str, Any]) -> d.Spokes:
    """What stands, from all of the file's tables. Raises DesignError."""
    own, palette = read_own_reeds(document.get("reeds", {})), read_own_colours(document.get("colours", {}))
    return _spokes(ends_from_base(document.get("base"), document.get("spokes", {})), own, palette)


def _spokes(values: object, own: dict[str, Reed], palette: dict[str, str]) -> d.Spokes:
    table = Table(values, "spokes", known_keys("spokes"))
    for needed in ("reed", "ends"):
        if needed not in table.values:
            example = "28" if needed == "ends" else f'"{such_a_reed("round 5")}"'
            raise DesignError("is missing.", table.at(needed), f"For example {needed} = {example}.")
    ends = table.count("ends", None, FEWEST_ENDS, MOST_ENDS)
    assert ends is not None, "the key is there"
    inserted = table.flag("inserted", False)
    for only in ("base_reed", "base_ends"):
        if only in table.values and not inserted:
            raise DesignError(
                "only belongs to inserted side spokes.", table.at(only), "Add inserted = true or leave it out."
            )
    base_reed = table.values.get("base_reed")
    return d.Spokes(
        reed=read_reed(table.values["reed"], own, table.at("reed")),
        ends=ends,
        inserted=inserted,
        per_end=table.count("per_end", 1, 1, 6),
        colour=read_colour(table.values.get("colour", "natural"), palette, table.at("colour")),
        base_reed=None if base_reed is None else read_reed(base_reed, own, table.at("base_reed")),
        base_ends=table.count("base_ends", max(FEWEST_ENDS, ends // 2), FEWEST_ENDS, MOST_ENDS) if inserted else 0,
        insertion_mm=table.length("insertion", 5.0, 300.0) or 25.4,
        long_sticks=table.count("long_sticks", None, 1, MOST_ENDS) if "long_sticks" in table.values else None,
    )


def _pace(values: object) -> d.Pace:
    table, usual = Table(values, "pace", known_keys("pace")), d.Pace()
    return d.Pace(
        strokes_per_minute=table.number("strokes_per_minute", usual.strokes_per_minute, 0.5, 300),
        border_seconds=table.number("border_seconds", usual.border_seconds, 1, 600),
        join_seconds=table.number("join_seconds", usual.join_seconds, 0, 600),
        pack_seconds=table.number("pack_seconds", usual.pack_seconds, 0, 600),
        stick_seconds=table.number("stick_seconds", usual.stick_seconds, 0, 600),
        push_seconds=table.number("push_seconds", usual.push_seconds, 0, 600),
        turn_seconds=table.number("turn_seconds", usual.turn_seconds, 0, 600),
        trim_seconds=table.number("trim_seconds", usual.trim_seconds, 0, 600),
        reserve=table.number("reserve_percent", usual.reserve * 100, 0, 100) / 100,
    )


def _prices(values: object, own: dict[str, Reed]) -> d.Prices:
    table = Table(values, "prices", known_keys("prices"))
    coils = Table(table.values.get("coils", {}), table.at("coils"))
    for key in coils.values:
        read_reed(key, own, coils.place)  # a misspelt reed would never be found
    currency = table.text("currency", "$")
    if len(currency) > 4:
        said = f'"{currency[:20]}" is too long for a sign.'
        raise DesignError(said, table.at("currency"), 'For example "$" or "kr".')
    return d.Prices(
        currency=currency,
        coil=table.number("coil", 0.0, 0.0, 1e6) if "coil" in table.values else None,
        coils=tuple((key, coils.number(key, 0.0, 0.0, 1e6)) for key in coils.values),
        hour=table.number("hour", 0.0, 0.0, 1e6) if "hour" in table.values else None,
        overhead=table.number("overhead_percent", 0.0, 0.0, 1000.0) / 100,
    )
