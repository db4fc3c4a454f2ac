"""Write docs/reference.md from the tables in the code, so that the two cannot differ.

Run `python docs/make_reference.py`; a test compares the file with what this would write.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "src"))  # this checkout's slype, whichever is installed

from slype.advice.advise import RULES
from slype.borders.rows import border_need
from slype.borders.sentences import trimmed_on
from slype.borders.table import BORDERS, FAMILIES
from slype.colour import REED_COLOURS
from slype.design.file.keys import KEYS
from slype.form.handles import KINDS as HANDLES
from slype.form.lids import SEATS
from slype.kit.dyeing import KINDS as DYES
from slype.kit.file.keys import CLASS_KEYS
from slype.kit.file.keys import LISTS as CLASS_LISTS
from slype.kit.pace import SKILLS
from slype.quantity import MM_PER_IN, show_length
from slype.reeds import REEDS, density_check
from slype.sources import SOURCES
from slype.weave.table import WEAVES
from slype.words import TERMS

LISTED = ("band", "handle")
TARGET = Path(__file__).parent / "reference.md"


def _table(head: list[str], rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(cell.replace("|", "\\|").replace("\n", "; ") for cell in row) + " |" for row in rows]
    return "\n".join(lines)


def text() -> str:
    """The whole reference, as Markdown."""
    implied = {reed.key: (density, odd) for reed, density, odd in density_check()}

    def density(key: str) -> str:
        if key not in implied:
            return ""
        value, odd = implied[key]
        return f"{value * 1000:.3f}" + (" (odd one out)" if odd else "")

    class Names(dict):
        """Values are only known for a design; here each stands under its own name."""

        def __missing__(self, key: str) -> str:
            return f"‹{key}›"

    def said(template: str) -> str:
        plain = re.sub(r":[^{}]*}", "}", template)  # no number to round here
        return plain.format_map(Names({name: term.us for name, term in TERMS.items()}))

    parts = [
        "# Reference",
        "Made by `python docs/make_reference.py` from the tables in the code.",
        "## Keys of the design file",
        _table(
            ["table", "key", "takes", "what it says"],
            [
                [
                    f"`[[{key.table}]]`" if key.table in LISTED else f"`[{key.table}]`" if key.table else "(top)",
                    f"`{key.name}`",
                    key.takes,
                    key.help,
                ]
                for key in KEYS
            ],
        ),
        "## The class file",
        "What `slype class` reads ([classes.md](classes.md)); tables written [[so]] are written once for each thing.",
        _table(
            ["table", "key", "takes", "what"],
            [
                [
                    f"`[[{key.table}]]`" if key.table in CLASS_LISTS else f"`[{key.table}]`",
                    f"`{key.name}`",
                    key.takes,
                    key.help,
                ]
                for key in CLASS_KEYS
            ],
        ),
        "Skills of students, as shares of the pace's time (assumptions):",
        _table(
            ["skill", "time", "spread", "who", "source"],
            [
                [each.key, f"{each.times:.0%}", f"{each.spread:.0%}", each.means, each.source]
                for each in SKILLS.values()
            ],
        ),
        "Kinds of dye, with what is published about them on reed; the label goes first:",
        _table(
            ["kind", "what", "in the bath", "how", "source"],
            [
                [each.key, each.name, f"{each.minutes[0]} to {each.minutes[1]} min", each.words, each.source]
                for each in DYES.values()
            ],
        ),
        "## Weaves",
        _table(
            ["name", "also", "weavers", "stroke", "what it is", "source"],
            [
                [
                    weave.name,
                    ", ".join(weave.also),
                    str(weave.weavers or "one in every space"),
                    weave.stroke_words(),
                    weave.help,
                    weave.source,
                ]
                for weave in WEAVES.values()
            ],
        ),
        "## Borders",
        '`[border] kind = "three-rod plain"`, or `rows` of your own. Needs: per end, No. 5 round reed, 3/4 in apart.',
        _table(
            ["name", "British name", "also", "family", "one end goes", "ends", "needs", "trim", "what it is", "source"],
            [
                [
                    kind.name,
                    kind.uk,
                    ", ".join(kind.also),
                    kind.family,
                    kind.border.words(),
                    f"{kind.border.smallest_ends} or more",
                    show_length(border_need(kind.border, 0.75 * MM_PER_IN, REEDS["round 5"].diameter_mm).length_mm),
                    trimmed_on(kind.border),
                    kind.help,
                    kind.source,
                ]
                for kind in BORDERS.values()
            ],
        ),
        _table(["family", "how it is worked"], [[family, how] for family, how in FAMILIES.items()]),
        "## Handles",
        "A handle's strength is not rated.",
        _table(
            ["kind", "US", "UK", "what it is", "source"],
            [[key, kind.name, kind.uk, said(kind.help), kind.source] for key, kind in HANDLES.items()],
        ),
        "## Seats of lids",
        _table(
            ["seat", "what it is", "source"], [[seat.name, said(seat.help), seat.source] for seat in SEATS.values()]
        ),
        "## Reeds",
        "Diameters are from memory; measure yours. The two series are different: American No. 5 is not British No. 5.",
        _table(
            ["key", "mm", "feet per pound", "density by the chart g/cm³", "soak before weaving", "source"],
            [
                [
                    f"`{reed.key}`",
                    f"{reed.diameter_mm:g}" + (f" (charts: {reed.chart_mm:g})" if reed.chart_mm else ""),
                    str(reed.ft_per_lb or ""),
                    density(reed.key),
                    reed.soak().words,
                    reed.source,
                ]
                for reed in REEDS.values()
            ],
        ),
        "## Colours",
        "Plausible dyed-reed colours of our own; define others under `[colours]`.",
        _table(["name", "sRGB"], [[name, f"`{colour.hex}`"] for name, colour in REED_COLOURS.items()]),
        "## Rules of advice",
        _table(
            ["rule", "weight", "message", "why", "remedy", "source"],
            [
                [rule.key, rule.weight, said(rule.message), said(rule.why), said(rule.remedy), rule.source]
                for rule in RULES.values()
            ],
        ),
        "## Words",
        _table(
            ["US", "UK", "meaning"], [[term.us, term.uk, term.means] for term in TERMS.values() if term.us[0].islower()]
        ),
        "## Sources",
        _table(["key", "source", "good for"], [[s.key, s.citation, s.good_for] for s in SOURCES.values()]),
    ]
    return "\n\n".join(parts) + "\n"


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
    print(f"wrote {TARGET.name}")
