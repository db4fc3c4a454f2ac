"""Chart, counts, reeds and weaves as tables for a terminal.

The parts are printed by `printed.show`. Nothing is reckoned here.
"""

from __future__ import annotations

import sys
from typing import Any

from rich.padding import Padding
from rich.text import Text

from ..advice.advise import band_name
from ..colour import label_colour
from ..design.values import Design
from ..lay.chart import letters_for
from ..lay.values import Laid
from ..quantity import show_thickness
from ..reeds import DENSITY_G_MM3, REEDS, Reed, density_check
from ..rest.proofs import Proof
from ..sources import short_source
from ..tell.voice import effect_in_words, reason_in_words
from ..weave.counts import CountLine, summary
from ..weave.table import EVERY_END, WEAVES, Weave
from ..words import listed, say, several, worded
from .columns import Columns
from .printed import Parts, bullets, columns, console_for, heading, sentence

MOST_RUNS_DRAWN = 40


# Chart ---------------------------------------------------------------------------------------------------------


def chart(laid: Laid, form: dict[str, Any], width: int | None = None) -> Parts:
    """The report of `slype chart`; `form` is the chart in its promised form."""
    width = width or console_for(sys.stdout).width
    design = laid.design
    letters = letters_for(design)
    legend = Text(f"{sentence(say('{colours}', design.wording))}: ")
    for name, letter in letters.items():
        legend.append_text(_cell(letter, design.palette[name])).append(f" {name}  ")
    out: Parts = [Text(design.title, style="bold"), legend]
    seen, other = ("right", "left") if design.hand == "right" else ("left", "right")
    out.append(
        Text(
            say(
                "The newest row is uppermost; rows that lie alike are drawn once. {Spokes} are counted the way the "
                f"work goes: to the {seen} outside, to the {other} inside. Where several strands of one row lie on a "
                "{spoke}, they are drawn one above the other.",
                design.wording,
            )
        )
    )
    for band in laid.bands:
        name = f"{sentence(band_name(band))}, {band.band.where}, {several(band.rows, 'row')}"
        said = effect_in_words(band, design.hand)
        if len(set(band.band.colours)) == 1:
            out.append(Text(f"\n{name}: {said}"))
            continue
        out += [heading(name), Text(f"{sentence(said)}. {sentence(reason_in_words(band, design))}.")]
        for inside, face in ((False, "outside"), (True, "inside")):
            rows = next(each["rows"] for each in form[face] if each["band"] == band.index)
            out += [Text(f"{sentence(face)}:", style="bold"), _grid(design, rows, letters, inside, width)]
    return out


def _cell(letter: str, hex_text: str) -> Text:
    return Text(letter, style=f"{label_colour(hex_text)} on {hex_text}")


def _grid(design: Design, rows: list[list[list[str]]], letters: dict[str, str], inside: bool, width: int) -> Text:
    runs = _runs(rows)
    drawn = runs[:MOST_RUNS_DRAWN]
    spokes, margin = len(rows[0]), max(6, *(len(name) + 1 for name, _ in drawn))
    cell = 2 if margin + 2 * spokes <= width else 1
    # The chart counts from the left as seen from outside; whoever looks from inside sees it turned round.
    places = list(range(spokes))[:: -1 if inside else 1][: (width - margin) // cell]
    out = Text(no_wrap=True)
    for name, row in reversed(drawn):
        for layer in range(max(max(map(len, row)), 1) - 1, -1, -1):
            out.append(f"{name if layer == 0 else '':>{margin - 1}} ")
            for place in places:
                out.append_text(_strand(row[place], layer, cell, letters, design))
            out.append("\n")
    worked = [spokes - place if design.hand == "left" else place + 1 for place in places]
    out.append(say("{spoke} ", design.wording).rjust(margin) + _spoke_numbers(worked, cell))
    left = []
    if len(runs) > len(drawn):
        left.append(several(len(rows) - int(drawn[-1][0].split("-")[-1]), "more row"))
    if len(places) < spokes:
        left.append(say(several(spokes - len(places), "more {spoke}", "more {spokes}"), design.wording))
    if left:
        out.append(f"\n{'':{margin}}and {listed(left)}, which `slype picture` draws")
    return out


def _runs(rows: list[list[list[str]]]) -> list[tuple[str, list[list[str]]]]:
    """Rows that lie alike one after another, drawn once: ("1-4", row)."""
    out, first = [], 0
    for r in range(1, len(rows) + 1):
        if r == len(rows) or rows[r] != rows[first]:
            out.append((f"{first + 1}-{r}" if r > first + 1 else str(r), rows[first]))
            first = r
    return out


def _strand(strands: list[str], layer: int, cell: int, letters: dict[str, str], design: Design) -> Text:
    if layer < len(strands):
        name = strands[layer]
        return _cell(letters[name].ljust(cell), design.palette[name])
    return Text(("·" if layer == 0 else " ").ljust(cell))


def _spoke_numbers(worked: list[int], cell: int) -> str:
    line = ""
    for i, spoke in enumerate(worked):
        if (spoke == 1 or spoke % 5 == 0) and len(line) <= i * cell:
            line = line.ljust(i * cell) + f"{spoke} "
    return line


# Effects and the tables ----------------------------------------------------------------------------------------


def effects(title: str, lines: list[CountLine], hand: str = "right", wording: str = "us") -> Parts:
    """The report of `slype effects` for one weave: what each count gives, and why."""
    orders = len({line.colours for line in lines}) > 1
    table = columns(">Ends", *(["Order"] if orders else []), "Outside", "Inside", "Why")
    for line in lines:
        cells = ["cannot be worked", ""]
        if line.outside is not None and line.inside is not None:
            cells = [line.outside.words(hand), line.inside.words(hand, inside=True)]
        if cells[0] == cells[1]:
            cells[1] = "the same"
        said = (worded(each, wording) for each in (*cells, line.why))
        table.add_row(str(line.ends), *([", ".join(line.colours)] if orders else []), *said)
    short = bullets(worded(each, wording) for each in summary(lines, hand))
    return [Text(title, style="bold"), table, heading("In short, outside"), short]


_SERIES = {"us": "American round reed", "uk": "British centre cane"}


def reeds() -> Parts:
    """The report of `slype reeds`: both series, kept apart."""
    implied = {reed.key: (density, odd) for reed, density, odd in density_check()}
    out: Parts = [Text("Round reed and centre cane: two series whose numbers must not be mixed", style="bold")]
    for series, name in _SERIES.items():
        out += [heading(name), _reed_table([reed for reed in REEDS.values() if reed.series == series], implied)]
    out.append(
        Text(
            "\nDensity is what the feet in a pound imply for the diameter of charts, in g/cm³. Weights follow the feet "
            f"in a pound where they are given, and else a density of {DENSITY_G_MM3 * 1000:.2f}. A row marked * stands "
            "more than 7 % off the middle one: its diameter follows its feet in a pound instead. Reeds of one number "
            "differ by a fifth from seller to seller; your own "
            'calipers count for more: write them under [reeds], like "round 5" = { mm = 3.4 }.'
        )
    )
    out.append(bullets(f"{reed.name}: {reed.note}" for reed in REEDS.values() if reed.note))
    return out


def _reed_table(rows: list[Reed], implied: dict[str, tuple[float, bool]]) -> Columns:
    weighed = any(reed.key in implied for reed in rows)
    table = columns("=Reed", "=Diameter", *([">ft/lb", ">Density"] if weighed else []), "=Soak", "Source")
    for reed in rows:
        density, odd = implied.get(reed.key, (None, False))
        feet = f"{reed.ft_per_lb:g}" if reed.ft_per_lb else ""
        marked = "" if density is None else f"{density * 1000:.2f}{' *' if odd else '  '}"
        table.add_row(
            reed.key,
            show_thickness(reed.diameter_mm) + (f" (charts: {reed.chart_mm:g})" if reed.chart_mm else ""),
            *([feet, marked] if weighed else []),
            _minutes(reed),
            short_source(reed.source),
        )
    return table


def _minutes(reed: Reed) -> str:
    low, high = reed.soak().minutes
    return reed.soak().words if low == 0 else f"{low:g} min" if low == high else f"{low:g} to {high:g} min"


def weaves(wording: str = "us") -> Parts:
    """The report of `slype weaves`."""
    out: Parts = [Text("The weaves, by the names a design file may use", style="bold")]
    for weave in WEAVES.values():
        lines = Text(worded(_weave_lines(weave), wording))
        out += [Text(f"\n{weave.named(wording)}", style="bold"), Padding(lines, (0, 0, 0, 2))]
    out.append(Text("\nAny other stroke: leave out weave and give weavers, over and under."))
    return out


def _weave_lines(weave: Weave) -> str:
    many = "a weaver in every space" if weave.weavers == EVERY_END else several(weave.weavers, "weaver")
    also = f"\nAlso called {listed(list(weave.also))}." if weave.also else ""
    example = weave.example.replace("\n", ", ")
    return f"{many}, {weave.stroke_words()}. {weave.help}{also}\nWrite {example}   [{short_source(weave.source)}]"


# Proofs --------------------------------------------------------------------------------------------------------

_WORDS = (
    "Held against each other: the springy rods by which baskets are settled, and tables, formulas, a prototype of ours "
    "and slype's own checkers.",
    "Station: a point of a rod that is moved, 8 from one spoke to the next. Crimp: how much longer a rod is than the "
    "way it goes. D/p: thickness of weaver and spoke together, over the way from spoke to spoke.",
)
_BOUNDS = {"near": "±", "at least": "≥ −", "at most": "≤ +"}


def proofs(rows: list[Proof]) -> Parts:
    """The report of `slype evidence`: every comparison, then those that are off, with whom we believe."""
    apart = [row for row in rows if not row.within]
    head = f"{several(len(rows), 'comparison')}, worked out just now: {len(rows) - len(apart)} within what is allowed"
    out: Parts = [Text(f"{head}, {len(apart)} not", style="bold"), Text(), bullets(_WORDS)]
    for part in dict.fromkeys(row.part for row in rows):
        table = columns("What", "On whose word", ">Expected", ">slype", ">Off by", ">Allowed", "")
        for row in (row for row in rows if row.part == part):
            table.add_row(
                row.what,
                short_source(row.source),
                f"{row.expected:.5g}",
                f"{row.found:.5g}",
                _share(row, row.error, "+"),
                _BOUNDS[row.bound] + _share(row, row.tolerance),
                "" if row.within else "off",
                style="" if row.within else "yellow",
            )
        reasons = dict.fromkeys(f"{_share(row, row.tolerance)}: {row.reason}" for row in rows if row.part == part)
        out += [heading(sentence(part)), table, Padding(bullets(reasons), (1, 0, 0, 2))]
    if apart:
        out += [
            heading("What is off"),
            bullets(f"{row.part}: {row.what}: {row.note or 'not explained'}" for row in apart),
        ]
    return out


def _share(row: Proof, error: float, sign: str = "") -> str:
    """An error as a share of what was expected; in the row's own unit where that was nothing."""
    if row.expected:
        return f"{round(error, 4) or 0.0:{sign}.2%}"
    return f"{error:{sign}.2g} {row.unit}".rstrip()
