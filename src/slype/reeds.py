"""Reed and cane: numbers to millimetres, weight, soaking, and a maker's own measurements.

Two number series exist and must never be mixed: American round reed ("round 5" is about 3.25 mm) and
British centre cane ("cane 5" is about 2.55 mm). No published table from number to millimetre could be
found, and reeds of one number differ by a fifth from seller to seller, so every diameter below is from
memory and a maker's own calipers, or a weighed coil, always count as the better truth. Where the length
in a pound that the trade gives is remembered, mass follows it; where it disagrees with the chart's diameter
(round 2), the diameter does so too, and both are shown.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from .errors import DesignError, did_you_mean
from .quantity import G_PER_LB, MM_PER_FT

DENSITY_G_MM3 = 0.51e-3
"""Air-dry core, g/mm3. Derived from remembered feet per pound (source id: memory); see `density_check`."""
DENSITY_RANGE_G_MM3 = (0.45e-3, 0.60e-3)
"""What the same table allows once two doubtful rows are counted (source id: memory)."""
DIAMETER_SPREAD = 0.10
"""Half the spread of diameters sold under one number: a fifth in all (common practice, no source)."""
DEFAULT_STRAND_MM = 10 * MM_PER_FT
"""A usable length pulled from a coil when the design does not say (common practice, no source)."""


@dataclass(frozen=True)
class Reed:
    """One size of reed.

    `diameter_mm`; `g_per_mm` mass per length; `coil_g` how it is sold; `ft_per_lb` remembered trade figure or
    None, which the mass then follows; `strand_mm` a usable length from the coil; `source` id; `measured` True when the
    maker measured it; `chart_mm` what sellers' charts say of a diameter that is reckoned otherwise, else None.
    """

    key: str
    series: str
    diameter_mm: float
    ft_per_lb: float | None
    source: str
    coil_g: float = G_PER_LB
    strand_mm: float = DEFAULT_STRAND_MM
    g_per_mm: float = 0.0
    measured: bool = False
    note: str = ""
    chart_mm: float | None = None

    def __post_init__(self) -> None:
        if not self.g_per_mm:
            by_feet = G_PER_LB / (self.ft_per_lb * MM_PER_FT) if self.ft_per_lb else None
            object.__setattr__(self, "g_per_mm", by_feet or DENSITY_G_MM3 * section_mm2(self.diameter_mm))

    @property
    def name(self) -> str:
        """What an American shopping list calls it."""
        return self.named("us")

    def named(self, wording: str) -> str:
        """What the shopping list calls it in American ("us") or British ("uk") wording: reed or cane throughout, and
        whose number it is where that is not the reader's own (common practice, no source)."""
        plain = "cane" if wording == "uk" else "reed"
        if self.series == "own":
            return self.key if self.key else f"{self.diameter_mm:g} mm {plain}"
        number = f"No. {self.key.split()[1]}"
        if self.series == wording:
            return f"{number} {'round reed' if wording == 'us' else 'centre cane'}"
        return f"{'American' if self.series == 'us' else 'British'} {number} {plain}"

    @property
    def diameter_range_mm(self) -> tuple[float, float]:
        """Least and greatest diameter to expect: 2 % when measured, else the trade's spread."""
        spread = 0.02 if self.measured else DIAMETER_SPREAD
        return self.diameter_mm * (1 - spread), self.diameter_mm * (1 + spread)

    @property
    def heavy_g_per_mm(self) -> float:
        """Mass per length to buy by: the heavier of the stated density and the trade's length per pound."""
        if self.measured or not self.ft_per_lb:
            return self.g_per_mm
        return max(self.g_per_mm, DENSITY_G_MM3 * section_mm2(self.diameter_mm))

    def soak(self) -> Soaking:
        """How long to soak before weaving."""
        return soaking(self.diameter_mm)


@dataclass(frozen=True)
class Soaking:
    """Minutes in water before use, `minutes` (least, most), in words `time`; whether it lies there until it bends; with
    the source id, and a `note` on it (or "")."""

    minutes: tuple[float, float]
    time: str
    source: str
    until_it_bends: bool = False
    note: str = ""

    @property
    def told(self) -> str:
        """How long, and until when."""
        return self.time + ", until it bends round a finger without cracking" * self.until_it_bends

    @property
    def words(self) -> str:
        """The same with its note."""
        return f"{self.told} ({self.note})" if self.note else self.told


def section_mm2(diameter_mm: float) -> float:
    """Area of a round section, mm2."""
    return math.pi * diameter_mm**2 / 4


def _us(number: str, mm: float, ft_per_lb: float | None = None, note: str = "", chart_mm: float | None = None) -> Reed:
    source = "memory" if chart_mm is None else "derived"
    return Reed(f"round {number}", "us", mm, ft_per_lb, source, note=note, chart_mm=chart_mm)


def _uk(number: str, mm: float) -> Reed:
    # British cane is sold by the half kilogram; no length per weight was found, so none is given.
    return Reed(f"cane {number}", "uk", mm, None, "memory", coil_g=500.0, strand_mm=3000.0)


_NUMBER_2 = (
    "charts say 1.75 mm; its feet in a pound ask for 1.84 at the density of all others, and published rows of randing "
    "with No. 2 (Gill, models 1, 30 and 66) for 1.87"
)

_TABLE = (
    _us("0", 1.25, 2200),
    _us("1", 1.5, 1600),
    _us("2", 1.84, 1100, _NUMBER_2, chart_mm=1.75),
    _us("2.5", 2.0),
    _us("3", 2.25, 750),
    _us("3.5", 2.5),
    _us("4", 2.75, 500),
    _us("4.5", 3.0),
    _us("5", 3.25, 350),
    _us("5.5", 3.75),
    _us("6", 4.25, 200, "the trade also gives 160 ft a pound for a thicker No. 6"),
    _us("7", 5.0),
    _us("8", 5.75),
    _uk("000", 1.25),
    _uk("0", 1.5),
    _uk("1", 1.8),
    _uk("2", 2.0),
    _uk("3", 2.25),
    _uk("5", 2.55),
    _uk("6", 2.7),
    _uk("8", 3.0),
    _uk("10", 3.35),
    _uk("12", 3.75),
    _uk("15", 4.5),
    _uk("16", 5.0),
)
REEDS: dict[str, Reed] = {reed.key: reed for reed in _TABLE}

# Upper diameter mm (exclusive), minutes, time, source, whether until it bends, note. Gill, ch. II, gives Nos. 00, 1-2
# and 4-5; between and beyond is our reading. White, ch. I: an hour in cold water or a quarter of an hour in hot, for
# all.
_SOAKING = (
    (1.2, (0, 1), "dip only", "gill"),
    (1.9, (10, 10), "10 minutes", "gill"),
    (2.7, (10, 15), "10 to 15 minutes", "derived", False, "between the published sizes"),
    (3.4, (15, 20), "15 to 20 minutes", "gill"),
    (math.inf, (20, 60), "20 minutes to an hour", "practice", True),
)


def soaking(diameter_mm: float) -> Soaking:
    """Soaking before use in cool water for a reed of `diameter_mm`. Source: Gill ch. II; White allows up to 1 h."""
    for below, *row in _SOAKING:
        if diameter_mm < below:
            return Soaking(*row)
    raise ValueError(f"no soaking row for {diameter_mm}")

_NUMBERED = re.compile(r"(round|cane) ?((?:0|[1-9]\d{0,3})(?:[.,]\d)?)")
"""A series and a number in it; No. 000 and the like count as names."""


def reed_named(name: object, own: dict[str, Reed] | None = None, where: str = "") -> Reed:
    """Look a reed up by key: the maker's own measurements first, then the table.

    Raises DesignError for an unknown key, with a hint where the series was left out.
    """
    if not isinstance(name, str):
        raise DesignError(
            f"a reed is a name or a measured thickness, not {name!r:.40}.",
            where,
            'Write it like "round 5", "cane 12" or { mm = 3.4 }.',
        )
    key = " ".join(name.split())
    found = (own or {}).get(key) or (own or {}).get(key.lower()) or REEDS.get(key.lower())
    if found is not None:
        return found
    digits = key.lower().removeprefix("no.").removeprefix("#").strip()
    if f"round {digits}" in REEDS or f"cane {digits}" in REEDS:
        raise DesignError(
            f'"{name}" could be American round reed or British cane, which differ.',
            where,
            f'Say "round {digits}" or "cane {digits}".',
        )
    remedy = _beside(key.lower(), own or {}) or did_you_mean(key, [*(own or {}), *REEDS])
    raise DesignError(f'there is no reed called "{name}".', where, remedy)


def _beside(key: str, own: dict[str, Reed]) -> str:
    """A remedy for a number that its series has not: those on either side of it. "" for what is no such number."""
    said = _NUMBERED.fullmatch(key)
    if said is None:
        return ""
    series = [
        (float(found[2]), reed) for reed in {**REEDS, **own}.values()
        if (found := _NUMBERED.fullmatch(reed.key.lower())) and found[1] == said[1]
    ]  # fmt: skip
    asked = float(said[2].replace(",", "."))
    series.sort(key=lambda each: (each[0], each[1].diameter_mm))
    below, above = [each for each in series if each[0] < asked], [each for each in series if each[0] > asked]
    half = next((reed.key for _, reed in series if reed.key.replace(".", "") == key and "." in reed.key), "")
    if not above and half:  # 55 for 5.5
        return f'Did you mean "{half}"?'
    if not above:
        thickest = below[-1][1]
        return (
            f'The thickest is "{thickest.key}", {thickest.diameter_mm:g} mm. A design takes a thicker one by its '
            "thickness, like { mm = 6.5 }."
        )
    return f'Did you mean "{below[-1][1].key}" or "{above[0][1].key}"?' if below else ""


def own_reed(
    key: str,
    mm: float | None = None,
    coil_g: float | None = None,
    coil_mm: float | None = None,
    strand_mm: float | None = None,
    where: str = "",
) -> Reed:
    """A maker's own measurement: diameter in mm, or a weighed coil with its length, or both.

    A coil's weight and length give mass per length directly; with no calipers they also give a diameter through
    the stated density. Overrides the table's row of the same key. Raises DesignError when nothing was measured.
    """
    base = REEDS.get(key)
    per_mm = coil_g / coil_mm if coil_g and coil_mm else 0.0
    if mm is None and per_mm:
        mm = math.sqrt(4 * per_mm / (math.pi * DENSITY_G_MM3))
    if mm is None and base is None:
        raise DesignError(
            f'"{key}" has no thickness.', where, "Give mm = 2.3 (calipers), or coil_mass and coil_length."
        )
    measured = mm is not None
    if mm is None:
        assert base is not None, "or it was refused just now"
        mm = base.diameter_mm
    if not 0.3 <= mm <= 30:
        raise DesignError(f"{mm:g} mm is not a reed one can weave with.", where, "Between 0.3 and 30 mm.")
    reed = base or Reed(key, "own", mm, None, "practice")
    return replace(
        reed,
        diameter_mm=mm,
        g_per_mm=per_mm or DENSITY_G_MM3 * section_mm2(mm),
        measured=measured,
        coil_g=coil_g or reed.coil_g,
        strand_mm=strand_mm or reed.strand_mm,
        note="measured by the maker" if measured else reed.note,
    )


def density_check() -> list[tuple[Reed, float, bool]]:
    """For every row with a length per pound: (reed, implied density g/mm3, odd one out?), by the diameters of charts.

    One density should come out of the whole table; a row further than 7 % from the median is marked odd, and its
    diameter is then reckoned from its feet in a pound instead.
    """
    rows = [
        (reed, G_PER_LB / (reed.ft_per_lb * MM_PER_FT) / section_mm2(reed.chart_mm or reed.diameter_mm))
        for reed in REEDS.values()
        if reed.ft_per_lb
    ]
    middle = sorted(density for _, density in rows)[len(rows) // 2]
    return [(reed, density, abs(density / middle - 1) > 0.07) for reed, density in rows]
