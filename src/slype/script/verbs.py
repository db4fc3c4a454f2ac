"""The verbs whose parts lie in several rooms; the others of `import slype` are taken from their rooms as they are.

Each takes a design, or a plan of it where one is at hand already. What would be a file is given back as bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from ..advice.book import Finding
from ..borders.rows import Need, border_need
from ..borders.table import border_told
from ..design.values import Design, group_sizes
from ..export.promised import chart_json
from ..make import papers, pictures
from ..plans.planning import Plan, plan
from ..quantity import parse_length
from ..reeds import reed_named
from ..weave.counts import CountLine, what_counts_give
from ..weave.table import Weave, weave_named

Basket = Design | Plan


def _planned(basket: Basket) -> Plan:
    return plan(basket) if isinstance(basket, Design) else basket


def check(basket: Basket) -> tuple[Finding, ...]:
    """What to watch out for, the gravest first; each has `rule`, `where`, `message` and `remedy`."""
    return _planned(basket).advice


def chart(basket: Basket) -> dict[str, object]:
    """Which colours every row lays on every spoke, outside and inside, and each band's effect: the form of `slype chart
    --json` (docs/json.md)."""
    return chart_json(_planned(basket).laid)


def effects(
    weave: str | Weave, colours: str | Sequence[str], ends: int | Iterable[int], orders: bool = False, group: int = 1
) -> list[CountLine]:
    """What `colours` ("rust, sand", or a list) do in a weave on every count of ends: one line each, with `outside`,
    `inside`, `holds` and `why`; with `orders` also for every other order of the colours. Raises DesignError."""
    named = weave_named(weave, "weave") if isinstance(weave, str) else weave
    given = colours.split(",") if isinstance(colours, str) else colours
    names = tuple(name.strip() for name in given)
    counts = [ends] if isinstance(ends, int) else list(ends)
    return what_counts_give(named, counts, names, orders, lambda ends: len(group_sizes(ends, group)))


def border(told: str, spacing: str | float, spoke: str | float, per_end: int = 1) -> Need:
    """What each end needs for a border told by name ("three-rod plain") or by rows ("behind 1 out, over 2 down").

    `spacing` from spoke to spoke at the edge and `spoke` the reed, as a maker writes them ("3/4 in", "round 5") or as
    numbers in mm. Raises DesignError, or Unweavable where the reed will not go round the bends.
    """
    apart = parse_length(spacing, "spacing") if isinstance(spacing, str) else float(spacing)
    thick = reed_named(spoke, where="spoke").diameter_mm if isinstance(spoke, str) else float(spoke)
    return border_need(border_told(told), apart, thick, per_end)


def picture(
    basket: Basket, view: str = "outside", kind: Literal["svg", "png"] = "svg", width: int = 1600, hatched: bool = False
) -> bytes:
    """A drawing (SVG, for paper) or a painting (PNG, `width` dots across) of one view; see docs/guide.md for the views.

    Hatched pictures are drawings, whatever their kind. Raises DesignError for a view or kind that there is not.
    """
    return pictures.picture(_planned(basket), view, kind, width, hatched)


def sheet(
    basket: Basket, paper: str = "a4", reader: str | None = None, large: bool = False, grey: bool = False
) -> bytes:
    """The pattern sheet, as a PDF; with a `reader` ("student", "teacher", "card", "showing") the handout for them.

    `paper` "a4" or "letter"; `large` type and `grey` drawings go with a handout. Raises DesignError.
    """
    return papers.sheet(_planned(basket), reader, paper, large, grey)


def solid(basket: Basket) -> bytes:
    """The basket in space, every strand by its name, in metres: a glTF 2.0 file in its binary form (.glb)."""
    return pictures.solid(_planned(basket))
