"""The class file: TOML in, `Class` out, with remarks on whatever in it could not be read.

What makes no class at all (no TOML, no design that can be read) raises; anything else is told and worked round, so that
one wrong cell does not cost a teacher the evening. CSV files and designs lie beside the class file.
"""

from __future__ import annotations

import math
import os
from dataclasses import dataclass, replace
from typing import Any

from ... import files
from ...design.file.reader import parse as parse_design
from ...design.file.reader import toml_of
from ...design.file.stuff import read_own_colours, read_own_reeds
from ...design.file.toml import Table, shown
from ...design.values import Design, Pace
from ...errors import DesignError, FileTrouble, Place, SlypeError, did_you_mean
from ...offers import PAPERS
from ...system import is_inside
from ..pace import SKILLS
from ..values import AIMS, PREPARED, Class, DesignText, Labels, Pack, Prices, Remark, Rules, Seat, Strands
from . import goods
from .keys import PRICES, ROSTER, SHELF, TABLES, known
from .sheets import chosen, number, read_sheet
from .students import Known, numbered, of_sheet, of_tables, read_share
from .times import breaks_of, day_of, hours_of

VERSION = 1
MOST_SEATS = 400
ASKING = {"asks_every": (1.0, 1000.0), "answer_minutes": (0.0, 60.0)}
"""Keys of [pace] beside those of a design, with their bounds."""


@dataclass(frozen=True)
class Read:
    """A class as read, and remarks on what could not be."""

    found: Class
    remarks: tuple[Remark, ...]


def load(path: str) -> Read:
    """Read a class file and what lies beside it. Raises FileTrouble or DesignError where there is no class to work."""
    return parse(text_of(path), path)


def text_of(path: str) -> str:
    """The text of a class file. Raises FileTrouble or DesignError."""
    return files.text_of(files.read(path), os.path.basename(path) or path, "class")


def parse(text: str, path: str) -> Read:
    """The class of a text that belongs at `path`, beside its designs and lists. Raises FileTrouble or DesignError."""
    name = os.path.basename(path) or path
    return _Reading(name, os.path.dirname(path) or ".", toml_of(text, name)).read()


def lists_beside(text: str, path: str) -> dict[str, Any]:
    """The lists that lie beside a class file, by the key of [class] that names them, where they can be read; its
    own tables under ""."""
    name = os.path.basename(path) or path
    reading = _Reading(name, os.path.dirname(path) or ".", toml_of(text, name))
    main = Table(reading.tables.get("class", {}), reading.place("class"))
    wanted = (("roster", ROSTER, ()), ("shelf", SHELF, ("reed",)), ("prices", PRICES, ("item",)))
    found = {key: reading.sheet(main, key, columns, needed, quiet=True) for key, columns, needed in wanted}
    return {"": reading.tables, **{key: sheet for key, sheet in found.items() if sheet is not None}}


def of_design(path: str, seats: int, left: int | None = None) -> Read:
    """A class of one design for so many seats, the last `left` of them left-handed and the others right-handed, all
    else as usual; where `left` is not said, every seat has the design's hand."""
    name, folder = os.path.basename(path) or path, os.path.dirname(path) or "."
    if left is not None and left > seats:
        raise DesignError(f"{left} left-handed seats are more than {seats} in all.", "--left", "Ask for fewer.")
    said = {} if left is None else {"left": left}
    return _Reading(name, folder, {"class": {"design": name, "seats": seats, **said}}).read()


def _whole(path: str) -> bytes:
    """The bytes of a list. Raises FileTrouble, also where it is larger than any class."""
    raw = files.read(path)
    if len(raw) > files.MOST_BYTES:
        raise files.too_large(path, "class")
    return raw


class _Reading:
    """One class file while it is read; `remarks` grow."""

    def __init__(self, name: str, folder: str, tables: dict) -> None:
        self.name, self.folder, self.tables = name, folder, tables
        self.remarks: list[Remark] = []

    def tell(self, trouble: SlypeError, weight: str = "error") -> None:
        self.remarks.append(Remark.of(trouble, weight))

    def tell_at(self, trouble: SlypeError, path: tuple[str | int, ...]) -> None:
        """Tell of trouble with another file at the place that names it."""
        self.remarks.append(replace(Remark.of(trouble), where=Place(trouble.where, path)))

    def attempt(self, read, usual=None):
        """What `read` gives, or the usual where it complains; the complaint is kept."""
        try:
            return read()
        except SlypeError as trouble:
            self.tell(trouble)
            return usual

    def read(self) -> Read:
        version = self.tables.get("version", VERSION)
        if version != VERSION:
            said = f"the file has form {shown(version)}; this slype reads form {VERSION}."
            raise DesignError(said, f"{self.name}, version", "Use a newer slype to open it.")
        for key in self.tables:
            if key != "version" and key not in TABLES:
                self.tell(DesignError(f'unknown table "{key[:40]}".', self.name, did_you_mean(key[:40], TABLES)))
        main = Table(self.tables.get("class", {}), self.place("class"))
        self._unknown(main, known("class"))
        own = self.attempt(lambda: read_own_reeds(self._table("reeds")), {})
        palette = self.attempt(lambda: read_own_colours(self._table("colours")), {})
        texts, designs, usual = self._designs(main)
        seats = self._seats(main, designs, usual, palette)
        palette_all = {**{k: v for d in designs.values() for k, v in d.palette.items()}, **palette}
        shelf = self._shelf(main, own, palette_all)
        prices, packs = self._prices(main, own, designs[usual])
        dyes, more = goods.dye_tables(self._list("dye"), self.name, own, palette_all)
        self.remarks += more
        pace, spread, asking = self._pace()
        hours = self.attempt(lambda: hours_of(main), (570, 990))
        found = Class(
            title=self.attempt(lambda: main.text("title", designs[usual].title), designs[usual].title)[:120],
            designs=tuple(texts.values()),
            seats=tuple(seats),
            day=self.attempt(lambda: day_of(main)),
            starts=hours[0],
            ends=hours[1],
            breaks=self.attempt(lambda: breaks_of(main, hours), ()),
            place=self.attempt(lambda: main.text("place", ""), ""),
            helpers=self.attempt(lambda: main.count("helpers", 0, 0, 50), 0),
            prepared=self.attempt(lambda: main.text("prepared", "nothing", PREPARED), "nothing"),
            shelf=tuple(shelf),
            packs=tuple(packs),
            prices=prices,
            dyes=tuple(dyes),
            pace=pace,
            palette=tuple(palette.items()),
            labels=self.attempt(self._labels),
            rules=self.attempt(self._rules, Rules()),
            names=self.attempt(lambda: main.flag("names", True), True),
            bind=self.attempt(lambda: main.flag("bind", False), False),
            paper=self.attempt(lambda: main.text("paper", "a4", tuple(PAPERS)), "a4"),
            days=self.attempt(self._days, ()),
            name=self.name,
            spread=spread,
            **asking,
        )
        return Read(found, tuple(self.remarks))

    # Parts ---------------------------------------------------------------------------------------------------

    def place(self, *path: str) -> Place:
        """Where a table of the class file, or a key in it, stands."""
        return Place(", ".join((self.name, *path)), path)

    def _table(self, key: str) -> dict:
        value = self.tables.get(key, {})
        if not isinstance(value, dict):
            raise DesignError(f"should be a table, not {shown(value)}.", self.place(key), f"Write it as [{key}].")
        return value

    def _list(self, key: str) -> list:
        value = self.tables.get(key, [])
        if isinstance(value, list) and all(isinstance(each, dict) for each in value):
            return value
        self.tell(DesignError("should be a list of tables.", self.place(key), f"Write each as [[{key}]]."))
        return []

    def _unknown(self, table: Table, keys: tuple[str, ...]) -> None:
        for key in table.values:
            if key not in keys:
                said = f'unknown key "{key[:40]}", left out.'
                self.tell(DesignError(said, table.place, did_you_mean(key[:40], keys)))

    def _beside(self, name: str) -> str:
        """The path of a file that lies beside the class file, or in a folder there. Raises FileTrouble for another: a
        class that came from elsewhere reads nothing of this machine's."""
        path, folder = os.path.join(self.folder, name), os.path.realpath(self.folder)
        if not is_inside(os.path.realpath(path), folder):
            raise FileTrouble("does not lie beside the class file.", name[:80], "Copy it into the same folder.")
        return path

    def _designs(self, main: Table) -> tuple[dict[str, DesignText], dict[str, Design], str]:
        """(texts, designs, name of the usual one): the class's and those that students name."""
        if "design" not in main.values:
            raise DesignError("is missing.", main.at("design"), 'Name the design file: design = "basket.toml".')
        usual = main.text("design", None)
        wanted = [usual] + [each["design"] for each in self._list("student") if isinstance(each.get("design"), str)]
        wanted += self._designs_of_roster(main)
        texts, designs = {}, {}
        for name in dict.fromkeys(wanted):
            file = name if name.endswith(".toml") else f"{name}.toml"
            if file in texts:
                continue
            try:
                text = files.read(self._beside(file)).decode("utf-8-sig", "replace")
                designs[file] = parse_design(text, file)
            except SlypeError as trouble:
                if name == usual:
                    raise (trouble.inside(main.at("design")) if isinstance(trouble, FileTrouble) else trouble) from None
                rows = [i for i, each in enumerate(self._list("student")) if each.get("design") == name]
                path = ("student", rows[0], "design") if rows else ("class", "roster")
                at = Place(f"{self.name}, student {rows[0] + 1}, design", path) if rows else main.at("roster")
                self.tell_at(trouble.inside(at) if isinstance(trouble, FileTrouble) else trouble, path)
                continue
            texts[file] = DesignText(file, text)
        return texts, designs, usual if usual in designs else f"{usual}.toml"

    def _designs_of_roster(self, main: Table) -> list[str]:
        sheet = self.sheet(main, "roster", ROSTER, (), quiet=True)
        return [row.cells["design"] for row in sheet.rows if "design" in row.cells] if sheet else []

    def sheet(self, main: Table, key: str, columns: dict, needed: tuple[str, ...], quiet: bool = False):
        """The CSV file that a key of [class] names, or None."""
        if key not in main.values:
            return None
        try:
            name = main.text(key, None)
            return read_sheet(_whole(self._beside(name)), name, columns, needed, "student" if key == "roster" else key)
        except SlypeError as trouble:
            if not quiet:
                at = main.at(key)
                self.tell_at(trouble.inside(at) if isinstance(trouble, FileTrouble) else trouble, ("class", key))
            return None

    def _seats(self, main: Table, designs: dict[str, Design], usual: str, palette: dict[str, str]) -> list[Seat]:
        design = designs[usual]
        skill = self.attempt(lambda: chosen(main.text("skill", "first basket"), main.at("skill"), tuple(SKILLS)))
        first = Seat(0, usual, design.hand, design.wording, design.units, skill=skill or "first basket")
        sizes: dict[str, float] = {}
        for name, said in self.attempt(lambda: self._table("sizes"), {}).items():
            where = self.place("sizes", name)
            share = self.attempt(lambda said=said, where=where: read_share(number(str(said), where) / 100, where))
            sizes |= {} if share is None else {name: share}
        known_to = Known(first, designs, sizes, palette)
        seats: list[Seat] = []
        for i, table in enumerate(self._list("student")):
            inner = Table(table, Place(f"{self.name}, student {i + 1}", ("student", i)))
            self._unknown(inner, known("student"))
        sheet = self.sheet(main, "roster", ROSTER, ())
        if sheet is not None:
            found, more = of_sheet(sheet, known_to)
            seats, self.remarks = seats + found, self.remarks + more
        found, more = of_tables(self._list("student"), self.name, known_to)
        seats, self.remarks = seats + found, self.remarks + more
        if not seats:
            many = self.attempt(lambda: main.count("seats", 12, 1, MOST_SEATS), 12)
            left = min(many, self.attempt(lambda: main.count("left", 0, 0, MOST_SEATS), 0))
            seats = [first] * many
            if "left" in main.values:  # however the design is drawn
                seats = [replace(first, hand="left" if i >= many - left else "right") for i in range(many)]
        if len(seats) > MOST_SEATS:
            raise DesignError(f"{len(seats)} seats are more than one class.", self.name, f"At most {MOST_SEATS}.")
        seats, more = numbered(seats)
        self.remarks += more
        return seats + self._spare(main, seats, first)

    def _spare(self, main: Table, seats: list[Seat], first: Seat) -> list[Seat]:
        """Kits that nobody sits at: the class's own design as it is drawn."""
        many = self.attempt(lambda: main.count("spare", 0, 0, 50), 0)
        share = self.attempt(lambda: main.number("spare_percent", 0.0, 0.0, 100.0), 0.0)
        many = max(many, math.ceil(len(seats) * share / 100 - 1e-9))
        last = max(seat.number for seat in seats)
        return [replace(first, number=last + i, spare=True, where="spare") for i in range(1, many + 1)]

    def _shelf(self, main: Table, own: dict, palette: dict[str, str]) -> list[Strands]:
        out: list[Strands] = []
        sheet = self.sheet(main, "shelf", SHELF, ("reed",))
        if sheet is not None:
            out, more = goods.shelf_rows(sheet, own, palette)
            self.remarks += more
        tables, more = goods.shelf_tables(self._list("shelf"), self.name, own, palette)
        self.remarks += more
        return out + tables

    def _prices(self, main: Table, own: dict, design: Design) -> tuple[Prices, list[Pack]]:
        money: dict[str, float] = {}
        currency: str | None = None
        packs: list[Pack] = []
        remarks: list[Remark] = []
        sheet = self.sheet(main, "prices", PRICES, ("item",))
        if sheet is not None:
            money, currency, packs, remarks = goods.price_rows(sheet, own)
            self.remarks += remarks
        if design.prices is not None:  # what the design says of the maker's own prices holds where the class says none
            money = {**({"hour": design.prices.hour} if design.prices.hour is not None else {}), **money}
            currency = currency or design.prices.currency
        more, remarks = goods.pack_tables(self._list("pack"), self.name, own)
        self.remarks += remarks
        prices = self.attempt(
            lambda: goods.read_prices(self._table("prices"), self.name, money, currency), Prices(currency or "$")
        )
        return prices, more + packs

    def _pace(self) -> tuple[tuple[tuple[str, float], ...], tuple[tuple[str, float], ...], dict[str, float]]:
        """(pace in place of the designs' own, spread by skill, how often students ask and how long an answer takes)."""
        usual = Pace()
        asking: dict[str, float] = {}
        out: dict[str, float] = {}
        spread: tuple[tuple[str, float], ...] = ()
        table = Table(self.attempt(lambda: self._table("pace"), {}), self.place("pace"))
        for key in table.values:
            if key == "spread_percent":
                share = self.attempt(lambda: table.number("spread_percent", 25.0, 0.0, 200.0) / 100)
                spread = () if share is None else tuple((skill, share) for skill in SKILLS)
            elif key in ASKING:
                value = self.attempt(lambda key=key: table.number(key, 1.0, *ASKING[key]))
                asking |= {} if value is None else {key: value}
            elif hasattr(usual, key) and key not in ("reserve",):
                value = self.attempt(lambda key=key: table.number(key, 1.0, 0.0, 600.0))
                out |= {} if value is None else {key: value}
            else:
                keys = [k for k in vars(usual) if k != "reserve"] + ["spread_percent", *ASKING]
                self.tell(DesignError(f'unknown key "{key[:40]}", left out.', table.place, did_you_mean(key, keys)))
        return tuple(out.items()), spread, asking

    def _labels(self) -> Labels | None:
        if "labels" not in self.tables:
            return None
        table = Table(self._table("labels"), self.place("labels"), known("labels"))
        sizes = {}
        for key in ("width", "height", "left", "top", "across", "down"):
            low = 10.0 if key in ("width", "height") else 0.0
            sizes[f"{key}_mm"] = table.length(key, low, 300.0)
        for key in ("width", "height"):
            if sizes[f"{key}_mm"] is None:
                raise DesignError("is missing.", table.at(key), 'Measure one label: width = "63.5 mm".')
        columns, rows = table.count("columns", 1, 1, 20), table.count("rows", 1, 1, 40)
        wide, high = sizes["width_mm"], sizes["height_mm"]
        assert wide is not None and high is not None, "or they were missed just now"
        paper = PAPERS[self.tables.get("class", {}).get("paper", "a4")]
        paper_wide, paper_high = paper.wide_mm, paper.high_mm
        across, down = sizes["across_mm"] or wide, sizes["down_mm"] or high
        left = sizes["left_mm"] if sizes["left_mm"] is not None else (paper_wide - (columns - 1) * across - wide) / 2
        top = sizes["top_mm"] if sizes["top_mm"] is not None else (paper_high - (rows - 1) * down - high) / 2
        if left + (columns - 1) * across + wide > paper_wide + 0.5:
            raise DesignError("the columns are wider than the paper.", table.at("columns"), "Measure the sheet again.")
        if top + (rows - 1) * down + high > paper_high + 0.5:
            raise DesignError("the rows are higher than the paper.", table.at("rows"), "Measure the sheet again.")
        if across < wide - 0.1 or down < high - 0.1:
            raise DesignError("the labels lie over each other.", table.place, "across is from left edge to left edge.")
        return Labels(wide, high, columns, rows, left, top, across, down)

    def _rules(self) -> Rules:
        table, usual = Table(self._table("cutting"), self.place("cutting"), known("cutting")), Rules()
        return Rules(
            aim=table.text("aim", usual.aim, AIMS),
            least_mm=table.length("least", 20.0, 3000.0) or usual.least_mm,
            useful_mm=table.length("useful", 20.0, 3000.0),
            seconds=table.number("seconds", usual.seconds, 0.1, 600.0),
            chance=table.number("chance_percent", usual.chance * 100, 50.0, 99.9) / 100,
            seed=table.count("seed", usual.seed, 0, 2**31),
            join_more=table.flag("join_more", False),
            dye_cut=table.flag("dye_cut", False),
            longer=table.flag("longer", False) if "longer" in table.values else None,
        )

    def _days(self) -> tuple[tuple[str, int], ...]:
        table = Table(self._table("days"), self.place("days"), known("days"))
        return tuple((key, table.count(key, 0, 0, 365)) for key in table.values)
