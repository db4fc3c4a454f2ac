"""The table of the old handbooks as a page and for a terminal.

`python tests/support/handbook_page.py` prints it; with `--write` it rewrites docs/handbooks.md.
"""

from __future__ import annotations

import sys

from handbook_figures import (
    DISAGREE,
    TOLERANCES,
    Comparison,
)
from handbooks import comparisons
from places import ROOT

from slype.reeds import reed_named

PAGE = ROOT / "docs" / "handbooks.md"


def page() -> str:
    """docs/handbooks.md, whole."""
    rows = comparisons()
    apart = [row for row in rows if not row.within]
    one_sided = sum(row.within and row.tolerance.name == "enough to work with" for row in rows)
    out = [
        "# slype against the old handbooks",
        "",
        "Written by `python tests/support/handbook_page.py --write`; do not edit by hand. The raw figures are in",
        "`tests/authorities/`. Nothing is tuned to them: reed sizes come from memory, stacking from geometry.",
        "*Predicted* comes from stacked rows, *at rest* from the same basket relaxed as springy reeds.",
        "*Error* is predicted over stated (the middle of a range), less one. *Stated* figures stand in the book;",
        "*derived* ones are our arithmetic from stated figures. For spokes, predicted is what slype would cut, and a",
        "generous list is no error: the stated length must only be enough to work the border.",
        "",
        f"{len(rows)} comparisons: {len(rows) - len(apart) - one_sided} within their tolerance, {one_sided} that only",
        "ask whether the stated length is enough (it may be far off and still be enough),",
        f"{len(apart)} that disagree. White's own half spokes are among those within: slype uses her rule,",
        "so they check her lists, not slype.",
        "",
        "| source | figure | kind | stated | predicted | error | at rest | error | tolerance | verdict | note |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
        *(
            f"| {row.source} | {row.quantity} | {row.kind} | {row.stated} | {row.shown(row.predicted)} "
            f"| {row.error:+.1%} | {_at_rest(row)} | {row.tolerance.name} | {row.verdict} | {row.note} |"
            for row in rows
        ),
        "",
        "## What the table says",
        "",
        _number_two(rows),
        "",
        "## Where they disagree, and whom we believe",
        "",
        *(f"- **{row.source}, {row.quantity}** ({row.error:+.0%}): {DISAGREE.get(row.key, '?')}" for row in apart),
        "",
        "## Tolerances",
        "",
        *(f"- **{t.name}**: {t.reason}." for t in TOLERANCES),
    ]
    return "\n".join(out) + "\n"


def _at_rest(row: Comparison) -> str:
    """Two columns: what the basket at rest predicts, and its error; empty where it cannot differ."""
    return "| " if row.relaxed is None else f"{row.shown(row.relaxed)} | {row.relaxed_error:+.1%}"


def _number_two(rows: list[Comparison]) -> str:
    """Gill's rows in No. 2 taken together: all lean one way."""
    errors = [row.error for row in rows if row.quantity.split(":")[0] in ("M30 double", "M66", "M1", "M42 base")]
    mean = sum(errors) / len(errors)
    implied = reed_named("round 2").diameter_mm / (1 + mean)
    return (
        f"Gill's four rows in No. 2 that make sense all stand higher than slype says, by {-mean:.0%} on the mean: her "
        f"No. 2 was nearer {implied:.1f} mm than the {reed_named('round 2').diameter_mm:g} mm that we remember, or her "
        "rows were packed looser. The table of reeds is left as it is; a maker who measures does better than either."
    )


def lines() -> list[str]:
    """The table for a terminal."""
    return [
        f"{r.source:<9} {r.quantity:<58.58} {r.stated:>18} {r.shown(r.predicted):>10} {r.error:>+7.1%}  {r.verdict}"
        for r in comparisons()
    ]


if __name__ == "__main__":
    print("\n".join(lines()))
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8")
        print(f"written: {PAGE}")
