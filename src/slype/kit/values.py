"""A class as frozen values: who sits where with what hand and colours, what lies on the shelf, what things cost.

Lengths mm, masses g, times minutes after midnight. Read by `kit.file`; every step of the working takes these.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from ..errors import Place, SlypeError
from ..reeds import Reed
from .waiting import ANSWER_MINUTES

PREPARED = ("nothing", "base", "base and upsett")
"""What may be woven before the class."""
WOVEN_BEFORE = {"base": "the bases", "base and upsett": "the bases and the first rows of the side"}
"""PREPARED as a teacher says it of all kits."""
AIMS = ("shelf", "reed", "cost")
"""What a cutting plan may aim at: empty the shelf first, use the least reed, pay the least."""
WEIGHTS = ("error", "stop", "warn", "note")
"""How grave a remark is: could not be read; cannot be as asked; take care; good to know."""
LEAST_PIECE_MM = 304.8
"""No piece of a weaver is shorter than a foot (common practice, no source)."""
USEFUL_MM = 304.8
"""An end shorter than a foot is scrap, whatever the class cuts (common practice, no source)."""
CHANCE = 0.95
FIRST = "first basket"
"""The skill (of `pace.SKILLS`) of whoever has never woven one."""
SECONDS = 10.0


@dataclass(frozen=True)
class Remark:
    """Something to be told: `weight` of WEIGHTS, `message`, `where` (file, table or row, key or column), `remedy`."""

    weight: str
    message: str
    where: str = ""
    remedy: str = ""

    @property
    def path(self) -> tuple[str | int, ...]:
        """What it is about in the class file, as keys and indices from 0 (of a row of a list that lies beside the file:
        where it would stand in it); empty where that is not known."""
        return self.where.path if isinstance(self.where, Place) else ()

    @classmethod
    def of(cls, trouble: SlypeError, weight: str = "error") -> Remark:
        """What a reader complained of."""
        return cls(weight, trouble.message, trouble.where, trouble.remedy)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.message}{' ' + self.remedy if self.remedy else ''}"


@dataclass(frozen=True)
class Seat:
    """One place at the table: `number` from 1, the student's `name` ("" unknown), `design` by its file's name, `hand`,
    `wording`, `units`, `skill`, `colours` (design's, worn in its place), `size` a share of the design's size and what
    it is called; `spare` True for a kit that nobody sits at; `where` it was written, for messages."""

    number: int
    design: str
    hand: str = "right"
    wording: str = "us"
    units: str = "in"
    name: str = ""
    skill: str = FIRST
    colours: tuple[tuple[str, str], ...] = ()
    size: float = 1.0
    size_name: str = ""
    spare: bool = False
    where: str = ""


@dataclass(frozen=True)
class DesignText:
    """A design file as it was read: `name` of the file and its `text`, so that changes are made as anywhere else."""

    name: str
    text: str


@dataclass(frozen=True)
class Strands:
    """Reed on the shelf: `count` strands of `length_mm` each, or of lengths evenly between `shortest_mm` and
    `length_mm` where they were not measured (`count` is then reckoned from weight). `coil` True for whole coils."""

    reed: Reed
    colour: str
    length_mm: float
    count: int
    shortest_mm: float | None = None
    where: str = ""

    @property
    def measured(self) -> bool:
        """True when the strands were measured one by one."""
        return self.shortest_mm is None


@dataclass(frozen=True)
class Pack:
    """How one reed is sold: `mass_g` a pack, `price` (None: not said), and the maker's own lengths from it: strands
    between `shortest_mm` and `strand_mm` (None where all count as `strand_mm`)."""

    reed: Reed
    mass_g: float
    price: float | None = None
    strand_mm: float = 3048.0
    shortest_mm: float | None = None
    where: str = ""

    @property
    def strands(self) -> int:
        """Strands in a pack, at the mean of their lengths, by the heavier weight per length."""
        mean = self.strand_mm if self.shortest_mm is None else (self.strand_mm + self.shortest_mm) / 2
        return max(1, int(self.mass_g / self.reed.heavy_g_per_mm / mean))


@dataclass(frozen=True)
class Prices:
    """Money, in `currency`. None: not said, and then left out by name; nothing is guessed. Hours are what an hour of
    that work is worth; `dye` per pack of dye, `overhead` a share of everything before it, `rounding` what prices are
    rounded up to, `fee` asked per seat."""

    currency: str = "$"
    hour: float | None = None
    teaching_hour: float | None = None
    preparing_hour: float | None = None
    helper_hour: float | None = None
    room: float | None = None
    travel: float | None = None
    dye: float | None = None
    extras: float | None = None
    overhead: float = 0.0
    fee: float | None = None
    rounding: float = 1.0


@dataclass(frozen=True)
class Dye:
    """How one colour is dyed: `kind` of dye (a key of `dyeing.KINDS`) and `shade`; the maker's own swatch
    (`swatch_dye_g` gave the wished shade on `swatch_reed_g` of reed `swatch_mm` thick) where there is one; `bath_l`
    litres that the pot takes; `per_litre_g` and `packet_g` as the label says."""

    colour: str
    kind: str = ""
    shade: str = "medium"
    swatch_dye_g: float | None = None
    swatch_reed_g: float | None = None
    swatch_mm: float | None = None
    bath_l: float = 8.0
    packet_g: float | None = None
    where: str = ""


@dataclass(frozen=True)
class Labels:
    """A sheet of labels: `columns` by `rows` of `width_mm` by `height_mm`, the first `left_mm` and `top_mm` in from the
    paper's edge, `across_mm` and `down_mm` from one to the next. `large` for large type."""

    width_mm: float
    height_mm: float
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float


@dataclass(frozen=True)
class Rules:
    """How to cut: `aim` of AIMS, no piece of a weaver below `least_mm`, ends from `useful_mm` on kept (None: from the
    shortest piece that the class cuts from that reed, see `assigned.ReedCut.useful_mm`), `seconds` for the solver,
    `chance` with which bought reed of unmeasured length shall be enough, `seed` of every simulation; `join_more` lets
    weavers be joined that one strand is enough for, where that saves reed; `longer` cuts what stands to the longer
    figure of its range (None: where somebody's first basket is among them); `dye_cut` dyes what is cut, not whole
    strands that are cut when they are dry."""

    aim: str = "shelf"
    least_mm: float = LEAST_PIECE_MM
    useful_mm: float | None = None
    seconds: float = SECONDS
    chance: float = CHANCE
    seed: int = 1
    join_more: bool = False
    longer: bool | None = None
    dye_cut: bool = False


@dataclass(frozen=True)
class Class:
    """One class. `starts`, `ends` and `breaks` in minutes after midnight; `day` None where it is not fixed yet;
    `pace` (key of design.values.Pace, value) stands in place of the design's own: the teacher's watch. `palette` are
    colours of the class's own (name, #rrggbb), `days` how long things take before it, `spread` (skill, share) of the
    pace; `asks_every` minutes of work between two questions of a student (None: as their skill has it), each answered
    in `answer_minutes`; `bind` puts every student's sheet into the folder itself."""

    title: str
    designs: tuple[DesignText, ...]
    seats: tuple[Seat, ...]
    day: date | None = None
    starts: int = 570
    ends: int = 990
    breaks: tuple[tuple[int, int], ...] = ()
    place: str = ""
    helpers: int = 0
    prepared: str = "nothing"
    shelf: tuple[Strands, ...] = ()
    packs: tuple[Pack, ...] = ()
    prices: Prices = Prices()
    dyes: tuple[Dye, ...] = ()
    pace: tuple[tuple[str, float], ...] = ()
    palette: tuple[tuple[str, str], ...] = ()
    labels: Labels | None = None
    rules: Rules = Rules()
    names: bool = True
    bind: bool = False
    paper: str = "a4"
    days: tuple[tuple[str, int], ...] = ()
    name: str = "the class"
    spread: tuple[tuple[str, float], ...] = ()
    asks_every: float | None = None
    answer_minutes: float = ANSWER_MINUTES

    @property
    def students(self) -> tuple[Seat, ...]:
        """Seats that somebody sits at."""
        return tuple(seat for seat in self.seats if not seat.spare)

    @property
    def first_time(self) -> bool:
        """True where what stands is cut to the longer figure: of a whole class alike, so that one basket has one."""
        if self.rules.longer is not None:
            return self.rules.longer
        return any(seat.skill == FIRST for seat in self.students)

    @property
    def teaching_minutes(self) -> int:
        """From start to end without the breaks."""
        return self.ends - self.starts - sum(last - first for first, last in self.breaks)
