"""A class as a workbook (Office Open XML): formulas stay live where a teacher would change a number.

Yellow cells are there to be changed: seats, fee, hours, prices, packs. What follows from them is a formula, with the
value that slype worked out beside it, so that a program that does not reckon shows the same.
"""

from __future__ import annotations

import io

from ..kit.worked import Worked
from ..quantity import show_piece
from ..tell.classes.cutting import bench
from ..tell.classes.kits import bundle_named, lots_told, seat_title
from ..tell.classes.sums import named


def workbook(made: Worked) -> bytes:
    """The .xlsx file."""
    import xlsxwriter  # only a class's folder needs it

    out = io.BytesIO()
    # No text of a student's is ever taken for a formula or a link.
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"title": made.asked.title, "created": _day(made)})
        formats = {
            "head": book.add_format({"bold": True, "bottom": 1}),
            "input": book.add_format({"bg_color": "#fff3c4", "border": 1, "border_color": "#c9b458"}),
            "money": book.add_format({"num_format": "0.00"}),
            "input money": book.add_format(
                {"num_format": "0.00", "bg_color": "#fff3c4", "border": 1, "border_color": "#c9b458"}
            ),
            "bold money": book.add_format({"num_format": "0.00", "bold": True, "top": 1}),
            "bold": book.add_format({"bold": True}),
            "wrap": book.add_format({"text_wrap": True, "valign": "top"}),
        }
        _money(book.add_worksheet("Money"), formats, made)
        _shopping(book.add_worksheet("Shopping"), formats, made)
        _dyeing(book.add_worksheet("Dyeing"), formats, made)
        _kits(book.add_worksheet("Kits"), formats, made)
        _cutting(book.add_worksheet("Cutting"), formats, made)
    return out.getvalue()


def _day(made: Worked):
    from datetime import datetime, time

    return datetime.combine(made.asked.day, time(0, 0)) if made.asked.day else datetime(2000, 1, 1)


def _head(sheet, formats, row: int, names: list[str], wide: list[int] | None = None) -> None:
    for i, name in enumerate(names):
        sheet.write(row, i, name, formats["head"])
    for i, width in enumerate(wide or []):
        sheet.set_column(i, i, width)


def _money(sheet, formats, made: Worked) -> None:
    """Seats and fee above; a line for each cost, as so much for each seat where it grows with them; sums below."""
    sums = made.sums
    assert sums is not None, "a class that has kits"
    sheet.write(0, 0, made.asked.title, formats["bold"])
    inputs = [("Seats", sums.seats), ("Fee", sums.fee or 0.0), ("Overhead %", sums.overhead * 100),
              ("Rounded up to", sums.rounding)]  # fmt: skip
    for i, (name, value) in enumerate(inputs, start=1):
        sheet.write(i, 0, name)
        sheet.write_number(i, 1, value, formats["input"])
    seats, fee, overhead, step = "$B$2", "$B$3", "$B$4", "$B$5"
    first = 7
    _head(sheet, formats, first - 1, ["For", "For each seat", "Count", "Unit", "Price", "Amount"],
          [34, 14, 12, 10, 12, 12])  # fmt: skip
    for i, line in enumerate(sums.lines):
        row, (count, unit, price) = first + i, line.how
        sheet.write(row, 0, named(line.key, made))
        if line.each:
            sheet.write_number(row, 1, count / max(1, sums.seats), formats["input"])
            sheet.write_formula(row, 2, f"=B{row + 1}*{seats}", None, count)
        else:
            sheet.write_number(row, 2, count, formats["input"])
        sheet.write(row, 3, unit)
        sheet.write_number(row, 4, price, formats["input money"])
        sheet.write_formula(row, 5, f"=ROUND(C{row + 1}*E{row + 1},2)", formats["money"], line.amount)
    last = first + len(sums.lines)
    span = f"F{first + 1}:F{last}"
    each_span, grows = f"B{first + 1}:B{last}", f"E{first + 1}:E{last}"
    before = sum(line.amount for line in sums.lines)
    row = last + 1
    rows = [
        ("Sum", f"=SUM({span})", before),
        ("Overhead", f"=F{row + 1}*{overhead}/100", before * sums.overhead),
        ("In all", f"=F{row + 1}+F{row + 2}", sums.total),
        ("For each seat", f"=F{row + 3}/{seats}", sums.per_seat),
        ("Left at the fee", f"={fee}*{seats}-F{row + 3}", (sums.fee or 0.0) * sums.seats - sums.total),
    ]
    for i, (name, formula, value) in enumerate(rows):
        sheet.write(row + i, 0, name, formats["bold"])
        sheet.write_formula(row + i, 5, formula, formats["bold money"], value)
    # What grows with the seats costs B*E for each; the rest stays.
    row += len(rows) + 1
    _head(sheet, formats, row, ["Seats", "Fee at which it pays"])
    each = f"SUMPRODUCT({each_span},{grows})"
    fixed = f"(SUM({span})-{each}*{seats})"
    for i, (many, asked_fee) in enumerate(sums.fees, start=1):
        sheet.write_number(row + i, 0, many, formats["input"])
        at = f"A{row + i + 1}"
        formula = f"=CEILING(ROUND(({fixed}+{each}*{at})*(1+{overhead}/100)/{at},6),{step})"
        sheet.write_formula(row + i, 1, formula, formats["money"], asked_fee)


def _shopping(sheet, formats, made: Worked) -> None:
    _head(sheet, formats, 0, ["Reed", "Strands needed", "From the shelf", "Strands a pack", "Packs", "Price", "Cost"],
          [24, 14, 18, 14, 8, 10, 10])  # fmt: skip
    wording = made.kits[0].seat.wording
    for i, line in enumerate(made.lines, start=1):
        per = line.per_pack
        sheet.write(i, 0, line.reed.named(wording))
        sheet.write_number(i, 1, line.needed + line.used, formats["input"])
        sheet.write_number(i, 2, line.used, formats["input"])
        sheet.write_number(i, 3, per, formats["input"])
        packs = -(-line.needed // per)
        if packs == line.packs:
            sheet.write_formula(i, 4, f"=ROUNDUP(MAX(B{i + 1}-C{i + 1},0)/D{i + 1},0)", None, packs)
        else:  # lengths that were not measured: as simulated
            sheet.write_number(i, 4, line.packs, formats["input"])
        if line.price is not None:
            sheet.write_number(i, 5, line.price, formats["input money"])
        sheet.write_formula(i, 6, f"=E{i + 1}*F{i + 1}", formats["money"], line.packs * (line.price or 0.0))
    last = len(made.lines) + 1
    total = sum(line.packs * (line.price or 0.0) for line in made.lines)
    sheet.write(last, 0, "In all", formats["bold"])
    sheet.write_formula(last, 6, f"=SUM(G2:G{last})", formats["bold money"], total)


def _dyeing(sheet, formats, made: Worked) -> None:
    """Grams to dye; what dye they take follows from a swatch: dye over reed of it, yellow, to be filled in."""
    _head(sheet, formats, 0, ["Colour", "Dry reed, g", "Swatch: dye, g", "Swatch: reed, g", "Dye, g", "Pot, litres",
                              "Litres a kg", "Baths"], [16, 12, 14, 14, 12, 12, 12, 8])  # fmt: skip
    from ..kit.dyeing import LITRES_PER_KG

    for i, bath in enumerate(made.baths, start=1):
        sheet.write(i, 0, bath.colour)
        sheet.write_number(i, 1, bath.strands_g, formats["input"])
        grams = bath.dye_g
        swatch = bath.dye.swatch_reed_g if bath.dye is not None else None
        if grams is not None and swatch is not None:  # by surface: what dye it would have taken on this very reed
            sheet.write_number(i, 2, grams / bath.strands_g * swatch, formats["input"])
            sheet.write_number(i, 3, swatch, formats["input"])
        else:
            sheet.write_blank(i, 2, None, formats["input"])
            sheet.write_blank(i, 3, None, formats["input"])
        sheet.write_formula(
            i, 4, f'=IF(D{i + 1}>0,B{i + 1}*C{i + 1}/D{i + 1},"")', None, "" if grams is None else grams
        )
        pot = bath.dye.bath_l if bath.dye else 8.0
        sheet.write_number(i, 5, pot, formats["input"])
        sheet.write_number(i, 6, LITRES_PER_KG, formats["input"])
        sheet.write_formula(i, 7, f"=ROUNDUP(B{i + 1}/1000*G{i + 1}/F{i + 1},0)", None, bath.baths)


def _kits(sheet, formats, made: Worked) -> None:
    _head(sheet, formats, 0, ["Kit", "Hand", "Bundle", "What goes in", "Reed", "Colour", "Cut"],
          [20, 8, 8, 26, 20, 12, 60])  # fmt: skip
    row = 1
    for kit in made.kits:
        seat = kit.seat
        for bundle in kit.basket.bundles:
            cut = ", ".join(lots_told(bundle, seat.units))
            cells = [seat_title(seat, made.asked.names), seat.hand, bundle.number, bundle_named(bundle, seat.wording),
                     bundle.reed.named(seat.wording), bundle.colour, cut]  # fmt: skip
            for i, cell in enumerate(cells):
                sheet.write(row, i, cell)
            row += 1
    sheet.autofilter(0, 0, max(1, row - 1), 6)
    sheet.freeze_panes(1, 0)


def _cutting(sheet, formats, made: Worked) -> None:
    _head(sheet, formats, 0, ["Reed", "Strand", "From", "Colour", "Length", "Piece", "Seat", "Bundle"],
          [22, 8, 10, 12, 12, 12, 8, 8])  # fmt: skip
    row, units, wording = 1, made.kits[0].seat.units, made.kits[0].seat.wording
    for cut in made.reeds:
        for strand in cut.strands:
            for piece in strand.pieces:
                cells = [cut.reed.named(wording), strand.number, strand.source, strand.colour,
                         bench(strand.length_mm, units), show_piece(piece.length_mm, made.units[piece.seat]),
                         piece.seat, piece.bundle]  # fmt: skip
                for i, cell in enumerate(cells):
                    sheet.write(row, i, cell)
                row += 1
    sheet.autofilter(0, 0, max(1, row - 1), 7)
    sheet.freeze_panes(1, 0)
