"""What may be written after `slype book`. Standard library only, as `arguments`."""

from __future__ import annotations

import argparse
from collections.abc import Callable

Command = Callable[[str, str, str], argparse.ArgumentParser]
What = Callable[[str, str], argparse.ArgumentParser]


def book(command: Command, with_words: Callable[[argparse.ArgumentParser], None]) -> None:
    """Add `slype book` and what may be said after it to the commands; `with_words` adds wording and units."""
    top = command(
        "book",
        "keep the maker's book: reed on the shelf, baskets made, and what they teach of your own hands",
        'slype book add "round 3" rust --length "300 ft"\nslype book shelf\n'
        'slype book made pot.toml --measured "height of band 3 = 2 1/8 in"\nslype book learned',
    )
    with_words(top)
    top.add_argument("--book", metavar="PLACE", help="its file, or postgresql://…; else SLYPE_BOOK, else your own")
    todo = top.add_subparsers(dest="todo", metavar="WHAT")

    def what(name: str, does: str) -> argparse.ArgumentParser:
        return todo.add_parser(name, help=does, description=does[0].upper() + does[1:] + ".")

    what("where", "say where the book lies, and what is in it")
    _shelf(what)
    _baskets(what)
    _years(what)
    for name, does in (
        ("export", "write the whole book as plain files into a new folder"),
        ("import", "bring in what was exported from a book"),
    ):
        what(name, does).add_argument("folder", metavar="FOLDER")
    what("backup", "make a whole copy of the book now")
    what("check", "look whether every entry is whole")
    what("repair", "mend a damaged book; what was there is put aside")


def _shelf(what: What) -> None:
    shelf = what("shelf", "list the reed on the shelf")
    shelf.add_argument("reed", nargs="?", metavar="REED", help='only this reed, like "round 3"')
    shelf.add_argument("colour", nargs="?", metavar="COLOUR", help="and only this colour")
    shelf.add_argument("--all", action="store_true", help="with lots that are used up")
    add = what("add", "put reed on the shelf: a coil, or offcuts")
    add.add_argument("reed", metavar="REED", help='like "round 3"')
    add.add_argument("colour", metavar="COLOUR")
    size = add.add_mutually_exclusive_group(required=True)
    size.add_argument("--length", metavar="LENGTH", help='how long it is in all, like "300 ft"')
    size.add_argument("--weight", metavar="WEIGHT", help='how heavy it is, like "1 lb"')
    add.add_argument("--offcuts", action="store_true", help="a bundle of offcuts, not a coil")
    for name, does in (
        ("--cost", "what it cost, like 14.50"),
        ("--currency", "in which money (default: what the book mostly has)"),
        ("--supplier", "where it came from"),
        ("--dye-lot", "the lot it was dyed in"),
        ("--note", "anything else"),
    ):
        add.add_argument(name, metavar="TEXT", help=does)
    for name, does in (
        ("cut", "take reed from the shelf: from one lot, or from those of a reed and colour, the oldest first"),
        ("back", "put leftovers back to a lot"),
        ("count", "set right what a lot holds, after counting or weighing it"),
    ):
        one = what(name, does)
        one.add_argument("lot", metavar="LOT", help='its short name on the shelf; to cut, also "round 3, rust"')
        one.add_argument("amount", metavar="AMOUNT", help='like "20 ft", or a weight for a lot that is weighed')
        one.add_argument("--note", metavar="TEXT", default="", help="what for")
    undo = what("undo", "take back the last thing done to the shelf, or the one named")
    undo.add_argument("act", nargs="?", metavar="ACT", help='its short name from "slype book done"')
    what("done", "list the last things done to the shelf")


def _baskets(what: What) -> None:
    measurable = what("measurable", "list what can be measured of a basket, with what slype reckons")
    measurable.add_argument("file", metavar="DESIGN", help="the design file")
    plan = what("made", "enter a finished basket: what you measured, used, needed")
    plan.add_argument("file", metavar="DESIGN", help="the design file, as it was woven")
    plan.add_argument("--on", metavar="DAY", help="the day, like 2026-05-09 (default: today)")
    plan.add_argument(
        "--measured", action="append", default=[], metavar='"FIGURE = LENGTH"',
        help='like "height of band 3 = 2 1/8 in" or "time of band 3 = 1:20"; may be said again',
    )  # fmt: skip
    plan.add_argument(
        "--hours", action="append", default=[], metavar='"PART = H:MM"', help='like "weaving = 2:30"; may be said again'
    )
    plan.add_argument(
        "--used", action="append", default=[], metavar='"REED, COLOUR = LENGTH, LEFT"',
        help='reed used and left over, like "round 3, rust = 30 ft, 2 ft"; may be said again',
    )  # fmt: skip
    plan.add_argument(
        "--off-shelf", action="store_true", help="take from the shelf what --used says, of other reed what is reckoned"
    )
    plan.add_argument("--maker", metavar="NAME", help="who made it, where it was not you: a student, a partner")
    plan.add_argument("--photo", action="append", default=[], metavar="FILE", help="a photograph; may be said again")
    plan.add_argument("--sold-for", metavar="PRICE", help="what it brought, like 65")
    plan.add_argument("--currency", metavar="TEXT", help="in which money (default: what the book mostly has)")
    plan.add_argument("--note", metavar="TEXT", default="", help="anything else")
    baskets = what("baskets", "list the baskets made, the newest first")
    baskets.add_argument("search", nargs="?", default="", metavar="WORDS", help="only where title or note has them")
    opened = what("open", "show all that was entered of a basket")
    opened.add_argument("--design", action="store_true", help="print its design file, as it was woven")
    for name, does in (
        ("leave-out", "let a basket teach nothing"),
        ("take-in", "let a basket teach again"),
    ):
        what(name, does).add_argument("basket", metavar="BASKET", help='its short name from "slype book baskets"')
    back = what("take-back", "take back a basket (its reed goes back to the shelf), a class, or other money")
    back.add_argument("entry", metavar="ENTRY", help="its short name, as it was told when it was entered")
    opened.add_argument("basket", metavar="BASKET", help='its short name from "slype book baskets"')
    what("makers", "list whose baskets are in the book")
    swatch = what("swatch", "say which few rows, woven and measured, would teach most for a basket")
    swatch.add_argument("file", metavar="DESIGN", help="the design file")
    swatch.add_argument("--woven", metavar='"WEAVE, REED"', help='enter one that you wove, like "pairing, round 2"')
    for name, does in (
        ("--height", "how high its rows stand, dry"),
        ("--used", "the reed it took"),
        ("--time", "how long it took, like 0:40"),
        ("--on", "the day (default: today)"),
    ):
        swatch.add_argument(name, metavar="TEXT", help=does)
    make = what("make", "say what can be made from what lies on the shelf, from the designs in a folder")
    make.add_argument("folder", nargs="?", default=".", metavar="FOLDER", help="where the designs lie (default: here)")
    learned = what("learned", "say what your baskets teach: how your hands and reed differ from what slype reckons")
    gauge = what("gauge", "give a design the measure that your baskets taught: its [gauge] table")
    gauge.add_argument("file", metavar="DESIGN", help="the design file")
    gauge.add_argument("--write", action="store_true", help="write the table into the file (default: print it)")
    gauge.add_argument("--without", metavar="BASKET", help="as if this basket had not been made")
    learned.add_argument("--without", metavar="BASKET", help="as if this basket had not been made")
    for one in (swatch, learned, gauge):
        one.add_argument("--maker", metavar="NAME", help="by this maker's baskets (default: your own)")


def _years(what: What) -> None:
    kits = what("kits", "cut the kits of a class from the shelf, all or none; leftovers go back")
    held = what("held", "enter a class that was held: what it brought, and if you like its students' pace")
    for one in (kits, held):
        one.add_argument("file", metavar="CLASS", help="the class file, or a design with --seats")
        one.add_argument("--seats", type=int, metavar="N", help="so many of one design")
        one.add_argument("--left", type=int, metavar="N", help="of these so many left-handed")
        one.add_argument("--note", metavar="TEXT", default="", help="anything else")
    held.add_argument("--on", metavar="DAY", help="the day (default: the class's own, else today)")
    held.add_argument("--brought", metavar="MONEY", help="what came in for it, like 480")
    held.add_argument("--currency", metavar="TEXT", help="in which money (default: what the book mostly has)")
    held.add_argument(
        "--pace", metavar="CSV", help="students' times: a table with seat, part, time like 0:45, and strokes, name"
    )
    held.add_argument("--names", action="store_true", help="keep the students' names too (default: seats only)")
    what("classes", "list the classes held")
    pace = what("pace", "say how fast students were, part by part; nobody is named")
    pace.add_argument("--each", action="store_true", help="each student, by seat, or by name where names are kept")
    times = what("times", "enter students' times of a class that is in the book")
    times.add_argument("held", metavar="CLASS", help='its short name from "slype book classes"')
    times.add_argument("csv", metavar="CSV", help="a table with seat, part, time like 0:45, and strokes, name")
    times.add_argument("--names", action="store_true", help="keep the students' names too (default: seats only)")
    money = what("money", "enter other money that came in or went out")
    money.add_argument("way", choices=("in", "out"))
    money.add_argument("what", metavar="WHAT", help='like "stall at the market"')
    money.add_argument("amount", metavar="AMOUNT", help="like 12.50")
    money.add_argument("--currency", metavar="TEXT", help="in which money (default: what the book mostly has)")
    money.add_argument("--on", metavar="DAY", help="the day (default: today)")
    year = what("year", "say what a year brought: baskets, classes, hours, reed; or a page, a workbook")
    year.add_argument("year", nargs="?", type=int, metavar="YEAR", help="like 2026 (default: this one)")
    year.add_argument("-o", "--output", metavar="FILE", help="a page (.html) or a workbook (.xlsx)")
