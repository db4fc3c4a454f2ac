"""A year as papers: an .xlsx workbook for the accountant, and one page (HTML) to read or print. No advice on tax."""

from __future__ import annotations

import html
import io
from collections.abc import Sequence
from decimal import Decimal

import xlsxwriter

from ...quantity import show_mass
from ...words import several
from .accounts import Year

KINDS = {"basket": "baskets sold", "class": "classes held", "reed": "reed bought", "other": "other"}
NO_ADVICE = (
    "Taken from the book as it was entered: baskets in the year they were made, reed in the year it came. Nothing is "
    "estimated or converted. This is no tax advice: ask whoever does your accounts what counts, and when."
)


def money(value: Decimal, currency: str) -> str:
    """A sum as it is read: `-$12.50`."""
    return f"{'-' if value < 0 else ''}{currency}{abs(value):,.2f}"


def summary(year: Year) -> list[tuple[str, str, Decimal]]:
    """(what, currency, sum) of a year, kind by kind, then what is left."""
    out = []
    for currency in year.currencies:
        for kind, words in KINDS.items():
            for out_ in (False, True):
                total = year.total(currency, kind, out_)
                if total:
                    spent = " (spent)" if out_ and kind != "reed" else ""
                    out.append((f"{words}{spent}", currency, total))
        for kind, one, hour in (
            ("basket", "a basket brought, in the mean", "an hour on baskets brought, where hours are in the book"),
            ("class", "a class brought, in the mean", "an hour of class brought, where its file says hours"),
        ):
            for words, value in ((one, year.per_piece(currency, kind)), (hour, year.per_hour(currency, kind))):
                if value is not None:
                    out.append((words, currency, value))
        out.append(("left: all that came in less all that went out", currency, year.total(currency)))
    return out


def workbook(year: Year) -> bytes:
    """The year as .xlsx: the sums, every entry behind them, the reed. Text never turns into a formula."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    bold, sums, plain = (book.add_format(each) for each in ({"bold": True}, {"num_format": "#,##0.00"}, {}))

    def sheet(name: str, heading: list[str], rows: Sequence[Sequence[object]], widths: list[int]) -> None:
        page = book.add_worksheet(name)
        for k, width in enumerate(widths):
            page.set_column(k, k, width)
        page.write_row(0, 0, heading, bold)
        for i, row in enumerate(rows, start=1):
            for k, cell in enumerate(row):
                if isinstance(cell, str):
                    page.write_string(i, k, cell)
                elif cell is not None:
                    page.write_number(i, k, float(cell), sums if isinstance(cell, Decimal) else plain)  # type: ignore[arg-type]
        page.freeze_panes(1, 0)

    sheet("Sums", ["what", "currency", "sum"], [[*row] for row in summary(year)], [60, 10, 14])
    entries = [
        [each.day, KINDS[each.kind], each.what, each.currency, each.amount,
         None if each.seconds is None else round(each.seconds / 3600, 2)]
        for each in year.entries
    ]  # fmt: skip
    sheet("Entries", ["day", "kind", "what", "currency", "amount", "hours"], entries, [12, 16, 44, 10, 14, 10])
    reeds = [
        [each.reed, round(each.bought_g), round(each.cut_g), round(each.missing_g),
         "; ".join(f"{currency}{cost}" for currency, cost in each.cost)]
        for each in year.reeds
    ]  # fmt: skip
    sheet("Reed", ["reed", "bought, g", "cut, g", "missing at counts, g", "cost"], reeds, [20, 12, 12, 20, 20])
    sheet("Note", ["note"], [[NO_ADVICE]], [120])
    book.close()
    return file.getvalue()


def page(year: Year, units: str = "in") -> str:
    """The year as one page of HTML, to read or print."""
    sums = _table(["", "Sum"], [[what, money(value, currency)] for what, currency, value in summary(year)])
    entries = _table(
        ["Day", "What", "", "Sum"],
        [[e.day, KINDS[e.kind], e.what, money(e.amount, e.currency)] for e in year.entries],
    )
    reeds = _table(
        ["Reed", "Cut", "Missing at counts", "Bought"],
        [[r.reed, *(show_mass(g, units) for g in (r.cut_g, r.missing_g, r.bought_g))] for r in year.reeds],
    )
    made = f"{several(sum(e.kind == 'basket' for e in year.entries), 'basket')} sold, {year.unsold} not sold; "
    made += f"{year.seconds / 3600:.1f} hours on baskets."
    style = (
        "body{font:16px/1.45 system-ui,sans-serif;margin:2rem auto;max-width:46rem;padding:0 1rem;color:#2c2620;"
        "background:#fff}table{border-collapse:collapse;width:100%;margin:.5rem 0 1.5rem}td,th{text-align:left;padding:"
        ".2rem .5rem;border-bottom:1px solid #ddd;font-weight:400}th{color:#6a5f52;font-size:.85rem}td:last-child,"
        "th:last-child{text-align:right;white-space:nowrap}h1,h2{font-family:Georgia,serif}"
    )
    nothing = "" if year.entries else "<p>No money is in the book for this year.</p>"
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width">'
        f"<title>{year.year}</title><style>{style}</style></head><body>"
        f"<h1>The year {year.year}</h1><p>{made}</p>"
        f"{nothing}{sums}<h2>Reed</h2>{reeds}<h2>Every entry</h2>{entries}"
        f"<p>{html.escape(NO_ADVICE)}</p></body></html>\n"
    )


def _table(heading: list[str], rows: list[list[str]]) -> str:
    def line(cells: list[str], tag: str) -> str:
        return "<tr>" + "".join(f"<{tag}>{html.escape(cell)}</{tag}>" for cell in cells) + "</tr>"

    return f"<table>{line(heading, 'th')}{''.join(line(row, 'td') for row in rows)}</table>"
