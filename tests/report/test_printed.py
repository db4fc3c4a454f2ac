"""What a maker has written anywhere is printed as words."""

from __future__ import annotations

from io import StringIO

import pytest

from slype.report.printed import columns, console_for, text

NOTE = "for Ada\x1b[31m\x07\x1b[2J and [bold]Bo[/bold] :knot:"
PRINTED = "for Ada [31m  [2J and [bold]Bo[/bold] :knot:"


def on_a_terminal(parts):
    out = StringIO()
    console = console_for(out, 90)
    for part in parts:
        console.print(part)
    return out.getvalue()


@pytest.mark.parametrize("printed", [text, on_a_terminal])
def test_a_note_in_a_book_steers_no_terminal_and_is_taken_for_no_markup(printed):
    table = columns("What", "For")
    table.add_row("cut", NOTE)
    for parts in ([table], [NOTE]):
        assert PRINTED in printed(parts) and "\x1b" not in printed(parts)
