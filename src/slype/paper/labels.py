"""Labels for kits and bundles: what stands on each, and where on the sheet. Sizes in mm."""

from __future__ import annotations

from ..kit.values import Labels
from ..kit.worked import Worked
from ..offers import PAPERS
from ..tell.classes.kits import bundle_named, in_short, kit_text, seat_facts, seat_title
from .codes import code


def plain(paper: str, columns: int, rows: int) -> Labels:
    """Labels to cut apart from plain paper, side by side without a gap, 8 mm in from the edge."""
    wide, high = (side - 16.0 for side in (PAPERS[paper].wide_mm, PAPERS[paper].high_mm))
    return Labels(wide / columns, high / rows, columns, rows, 8.0, 8.0, wide / columns, high / rows)


def sheets(plan: Worked) -> list[dict[str, object]]:
    """Sheets of labels: one label for every kit, with its code, then one for every bundle."""
    asked = plan.asked
    own = asked.labels
    return [
        _sheet("Labels for kits", own or plain(asked.paper, 2, 4), own is None, _kits(plan)),
        _sheet("Labels for bundles", own or plain(asked.paper, 3, 7), own is None, _bundles(plan)),
    ]


def _sheet(title: str, layout: Labels, lines: bool, items: list[dict[str, object]]) -> dict[str, object]:
    sizes = {
        "width": layout.width_mm, "height": layout.height_mm, "columns": layout.columns, "rows": layout.rows,
        "left": layout.left_mm, "top": layout.top_mm, "across": layout.across_mm, "down": layout.down_mm,
    }  # fmt: skip
    return {"title": title, "layout": sizes, "lines": lines, "items": items}


def _kits(plan: Worked) -> list[dict[str, object]]:
    names = plan.asked.names
    out: list[dict[str, object]] = []
    for kit in plan.kits:
        title = seat_title(kit.seat, names)
        text = kit_text(kit, plan.asked.title, names)
        count = len(kit.basket.bundles)
        lines = [plan.asked.title, *seat_facts(kit), f"{count} bundles"]
        out.append(
            {"number": None, "title": title, "lines": lines,
             "code": {"svg": code(text), "alt": f"Code with the kit of {title} as text"}}
        )  # fmt: skip
    return out


def _bundles(plan: Worked) -> list[dict[str, object]]:
    out = []
    for kit in plan.kits:
        seat = kit.seat
        for bundle in kit.basket.bundles:
            reed = f"{bundle.reed.named(seat.wording)}, {bundle.colour}"
            lines = [bundle_named(bundle, seat.wording), reed, *in_short(bundle, seat.units)]
            title = seat_title(seat, plan.asked.names) + (" · left" if seat.hand == "left" else "")
            out.append({"number": bundle.number, "title": title, "lines": lines, "code": None})
    return out
