"""Lists of a class as CSV: plain figures for a spreadsheet, one row for each thing, lengths in mm."""

from __future__ import annotations

import csv
import io

from ..kit.worked import Worked


def lists(made: Worked) -> dict[str, bytes]:
    """{file name: content}: seats, bundles, cutting, shopping. With a mark that tells spreadsheets the letters."""
    return {
        "seats.csv": _seats(made), "bundles.csv": _bundles(made), "cutting.csv": _cutting(made),
        "shopping.csv": _shopping(made),
    }  # fmt: skip


def _table(head: list[str], rows: list[list[object]]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows([_plain(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def _plain(cell: object) -> object:
    """A text that a spreadsheet would take for a formula is kept a text."""
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@") else cell


def _seats(made: Worked) -> bytes:
    rows = [
        [
            kit.seat.number, kit.seat.name if made.asked.names else "", kit.seat.hand, kit.seat.wording,
            kit.seat.units, kit.seat.skill, kit.seat.design, f"{kit.seat.size * 100:g} %",
            "; ".join(f"{a}={b}" for a, b in kit.seat.colours),
        ]
        for kit in made.kits if not kit.seat.spare
    ]  # fmt: skip
    return _table(["seat", "name", "hand", "wording", "units", "skill", "design", "size", "colours"], rows)


def _bundles(made: Worked) -> bytes:
    rows = []
    for kit in made.kits:
        for bundle in kit.basket.bundles:
            what = bundle.piece.name if bundle.piece else "weavers"
            bands = "" if bundle.bands is None else f"{bundle.bands[0] + 1}-{bundle.bands[1] + 1}"
            lengths = made.lengths.get(kit.seat.number, {}).get(bundle.number, [])
            rows += [
                [kit.seat.number, bundle.number, what, bands, bundle.reed.key, bundle.colour, f"{mm:.1f}"]
                for mm in sorted(lengths, reverse=True)
            ]
    return _table(["seat", "bundle", "what", "bands", "reed", "colour", "length_mm"], rows)


def _cutting(made: Worked) -> bytes:
    rows = [
        [
            cut.reed.key, strand.number, strand.source, strand.colour, f"{strand.length_mm:.1f}",
            f"{piece.length_mm:.1f}", piece.seat, piece.bundle,
        ]
        for cut in made.reeds for strand in cut.strands for piece in strand.pieces
    ]  # fmt: skip
    return _table(["reed", "strand", "from", "colour", "strand_mm", "piece_mm", "seat", "bundle"], rows)


def _shopping(made: Worked) -> bytes:
    rows = [
        [
            line.reed.key, line.packs, f"{line.mass_g:.0f}", "" if line.price is None else f"{line.price:.2f}",
            "" if line.cost is None else f"{line.cost:.2f}", line.needed, line.used, line.left,
        ]
        for line in made.lines
    ]  # fmt: skip
    return _table(["reed", "packs", "pack_g", "price", "cost", "new_strands", "from_shelf", "left_strands"], rows)
