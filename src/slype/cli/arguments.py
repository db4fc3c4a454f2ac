"""What may be written after `slype`: commands, options, help and examples..

Standard library only: help must be there at once, whatever else is installed.
"""

from __future__ import annotations

import argparse
import re
from typing import NoReturn

from .. import __version__
from ..errors import DesignError, did_you_mean
from ..offers import BOARD, PAPERS, READERS, VIEWS
from .book_arguments import book

MOST_ENDS, FEWEST_ENDS = 400, 3


ONCE_CALLED = {"relax": "settle", "proofs": "evidence"}
"""Commands by their earlier names, which are still understood."""


def as_called_now(words: list[str]) -> list[str]:
    """What was typed after `slype`, a command's earlier name put into today's."""
    return [ONCE_CALLED.get(words[0], words[0]), *words[1:]] if words else words


def as_typed(where: str, words: list[str]) -> str:
    """What a refusal is about, called as it was typed: "hatch" and "colours" as --hatch and --colors, where these
    options stand among the `words` after `slype`."""
    options = (word.partition("=")[0] for word in words if word.startswith("--") and len(word) > 4)
    name = where.removeprefix("--")
    return next((option for option in options if name and name.startswith(_spelt(option[2:]))), where)


def _spelt(option: str) -> str:
    return {"colors": "colours", "gray": "grey"}.get(option, option)


class _Parser(argparse.ArgumentParser):
    """An argument parser that complains as the rest of slype does: what, where, and what would be right."""

    def error(self, message: str) -> NoReturn:
        remedy = f"See {self.prog} --help."
        choice = re.search(r"invalid choice: '?(.*?)'? \(choose from (.*)\)", message)
        if choice:
            known = [word.strip(" '") for word in choice[2].split(",")]
            message = f'{message.split(":")[0]}: there is no "{choice[1][:40]}".'
            remedy = did_you_mean(choice[1][:40], known)
        raise DesignError(
            message if message.endswith(".") else f"{message}.", self.prog.removeprefix("slype").strip(), remedy
        )


def _count(text: str) -> int:
    if not re.fullmatch(r"\d{1,9}", text) or not FEWEST_ENDS <= int(text) <= MOST_ENDS:
        raise argparse.ArgumentTypeError(f'"{text[:40]}" is not a count of ends from {FEWEST_ENDS} to {MOST_ENDS}')
    return int(text)


def _counts(text: str) -> list[int]:
    """`24`, `20-32` or `24,28`: counts of ends, in order."""
    counts: set[int] = set()
    for piece in text.split(","):
        first, dash, last = piece.partition("-")
        low = _count(first.strip())
        high = _count(last.strip()) if dash else low
        if high < low:
            raise argparse.ArgumentTypeError(f'"{text[:40]}" runs backwards; write the smaller count first')
        counts.update(range(low, high + 1))
    return sorted(counts)


def _whole(low: int, high: int):
    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,9}", text) or not low <= int(text) <= high:
            raise argparse.ArgumentTypeError(f'"{text[:40]}" is not a whole number from {low} to {high}')
        return int(text)

    return read


# Options that several commands share ---------------------------------------------------------------------------


def _with_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print the promised JSON form: lengths in mm, masses in g")


def _with_words(parser: argparse.ArgumentParser, units: bool = True) -> None:
    parser.add_argument("--wording", choices=("us", "uk"), help="us: spoke and reed; uk: stake and cane")
    if units:
        parser.add_argument("--units", choices=("in", "cm"), help="inches with fractions, or centimetres")


def _with_hand(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--hand", choices=("right", "left"), help="working hand; right works towards the right")


def _with_file(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="a design file (.toml)")
    parser.add_argument(
        "--gauge", metavar="WHOSE", help='by a maker\'s measure: "book", "book: NAME", or a file with a [gauge] table'
    )
    _with_hand(parser)
    _with_words(parser)


def _with_rest(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--settled", dest="relaxed", action="store_true",
        help="figures from the settled basket, every reed where it comes to rest (see: slype settle); remarks stay "
        "those of the quick one, and what only the settled one can tell is added",
    )  # fmt: skip
    _once_called(parser, "--relaxed", "relaxed")


def _once_called(parser: argparse.ArgumentParser, option: str, dest: str) -> None:
    """An option's earlier name: it is understood, and help does not show it."""
    parser.add_argument(option, dest=dest, action="store_true", help=argparse.SUPPRESS)


# Commands ------------------------------------------------------------------------------------------------------


def parser() -> argparse.ArgumentParser:
    """The whole grammar; what is parsed says which `command` was asked for."""
    top = _Parser(
        prog="slype",
        description="Design, measure and teach wicker baskets woven from round reed.",
        epilog="Begin with:\n  slype demo\n  slype plan slype-demo/estuary.toml\n\n"
        "slype COMMAND --help says more of each.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"slype {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)

    def command(name: str, does: str, example: str) -> argparse.ArgumentParser:
        return commands.add_parser(
            name,
            help=does,
            description=does[0].upper() + does[1:] + ".",
            epilog="Example:\n" + "\n".join(f"  {line}" for line in example.split("\n")),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    for name, does in (
        ("check", "say what to watch out for in a design, the gravest first"),
        ("plan", "say what to cut, weigh out, soak and allow time for"),
        ("chart", "show which colour every row lays on every spoke, outside and inside"),
    ):
        one = command(name, does, f"slype {name} estuary.toml\nslype {name} estuary.toml --hand left --units cm")
        _with_file(one)
        if name != "chart":
            _with_rest(one)
        _with_json(one)
    _settle(command)
    fits = command(
        "fits",
        "say whether a pan or a box will sit in the basket",
        'slype fits loaf.toml "9 x 5 x 2 1/2 in"',
    )
    _with_file(fits)
    fits.add_argument("size", metavar="SIZE", help='length, width and, if it matters, height: "9 x 5 x 2 1/2 in"')
    _with_json(fits)
    _effects(command)
    _border(command)
    _files(command)
    for name, does in (
        ("reeds", "list the sizes of reed and cane: thickness, weight, soaking"),
        ("weaves", "list the weaves a design can name"),
    ):
        one = command(name, does, f"slype {name}\nslype {name} --json")
        if name == "weaves":
            _with_words(one, units=False)
        _with_json(one)
    evidence = command(
        "evidence",
        "show how far slype's springy rods can be trusted: held against tables and formulas, worked out anew",
        "slype evidence",
    )
    _with_json(evidence)
    demo = command("demo", "work the example baskets into a folder of plans, pictures and sheets", "slype demo -o try")
    demo.add_argument("-o", "--output", metavar="FOLDER", default="slype-demo", help="folder (default: %(default)s)")
    _class(command)
    _lesson(command)
    book(command, _with_words)
    _studio(command)
    command("version", "say which slype this is", "slype version")
    return top


def _settle(command) -> None:
    one = command(
        "settle",
        "let every reed, as a springy rod, come to rest: true lengths, heights, light, bends, what lies loose",
        "slype settle estuary.toml\nslype settle estuary.toml --json --cores 1",
    )
    _with_file(one)
    one.add_argument("--cores", type=_whole(1, 2), help="cores of the machine to use (default: two where it has them)")
    one.add_argument(
        "--fine", action="store_true", help="twice as many points along every reed: slower, a little truer"
    )
    _with_json(one)


def _effects(command) -> None:
    one = command(
        "effects",
        "say what colours do on each count of ends: lines, spirals or blocks, and why",
        'slype effects --weave "four-rod wale" --colours rust,rust,sand,slate --ends 20-32\n'
        "slype effects --over 3 --under 1 --colours a,a,a,b --orders\n"
        "slype effects estuary.toml --band 5",
    )
    one.add_argument("file", metavar="FILE", nargs="?", help="a design file, to ask about its bands")
    one.add_argument("--band", type=_whole(1, 1000), help="only this band of the file, counted from 1")
    one.add_argument("--weave", help="name of a weave (see: slype weaves)")
    one.add_argument("--over", type=_whole(1, 50), help="of a free weave: spokes passed in front")
    one.add_argument("--under", type=_whole(1, 50), help="of a free weave: spokes passed behind")
    one.add_argument("--weavers", type=_whole(1, MOST_ENDS), help="of a free weave (default: over + under)")
    one.add_argument("--colours", "--colors", metavar="A,B,C", help="colours of the weavers in order; any names do")
    one.add_argument("--ends", type=_counts, metavar="20-32", help="counts of ends: 24, or 20-32, or 24,28")
    one.add_argument("--orders", action="store_true", help="also try every other order of the colours")
    _with_hand(one)
    _with_words(one, units=False)
    _with_json(one)


def _border(command) -> None:
    one = command(
        "border",
        "list the borders; or say how long each end must be for one, how to begin and how it closes",
        "slype border\nslype border -o borders.svg\n"
        'slype border "three-rod plain" --spacing "3/4 in" --spoke "round 5" --ends 28\n'
        'slype border "behind 1 out, over 3 in, over 2 down" --spacing "3/4 in" --spoke "round 5"\n'
        'slype border --left "5 in" --spacing "3/4 in" --spoke "round 5"',
    )
    one.add_argument(
        "border", metavar="BORDER", nargs="?",
        help='a name like "three-rod plain", or rows like "behind 1 out, over 2 down"; leave it out to list them',
    )  # fmt: skip
    one.add_argument(
        "--spacing", metavar="LENGTH",
        help='from spoke to spoke at the edge; the list takes "3/4 in" unless told',
    )  # fmt: skip
    one.add_argument(
        "--spoke", metavar="REED", help='reed of the spokes, like "round 5" or "3.4 mm"; the list takes "round 5"'
    )
    one.add_argument("--per-end", type=_whole(1, 6), default=1, help="reeds side by side in each end (default: 1)")
    one.add_argument("--ends", type=_count, help="count of ends, to see whether it is enough")
    one.add_argument("--left", metavar="LENGTH", help="what is left of every end: list what it can finish")
    one.add_argument("--family", metavar="NAME", help="list only these: open, trac, row, rod, rolled, plaited or foot")
    one.add_argument("-o", "--output", metavar="PATH", help="draw it, or the list, to a file: .svg or .png")
    _with_hand(one)
    _with_words(one)
    _with_json(one)


def _files(command) -> None:
    picture = command(
        "picture",
        "draw the basket",
        "slype picture estuary.toml -o estuary.svg\nslype picture estuary.toml -o above.png --view above --width 2000\n"
        "slype picture estuary.toml -o to-print.svg --view outside --hatch\nslype picture estuary.toml -o estuary.glb",
    )
    _with_file(picture)
    picture.add_argument(
        "-o", "--output", required=True, metavar="PATH", help="file to write: .svg, .png or .glb (a solid)"
    )
    picture.add_argument(
        "--view",
        choices=VIEWS,
        metavar="VIEW",
        help=f"{', '.join(VIEWS)} (default: whole)",
    )
    picture.add_argument(
        "--quick",
        dest="stacked",
        action="store_true",
        help="the quick picture, rows simply stacked, instead of the settled one (see: slype settle)",
    )
    _once_called(picture, "--stacked", "stacked")
    picture.add_argument("--width", type=_whole(50, 8000), help="of a .png, in dots (default: 1600)")
    picture.add_argument(
        "--hatch",
        action="store_true",
        help="a hatching for every colour, on white, with a key: for outside, inside, above and under",
    )
    picture.add_argument(
        "--tone",
        type=_whole(0, 999_999_999),
        metavar="SEED",
        help="of a painted .png: how the reeds differ in tone, another seed another coil; 0 for not at all",
    )
    gallery = command(
        "gallery", "draw every weave, base, outline and border on one page", "slype gallery -o gallery.svg"
    )
    gallery.add_argument("-o", "--output", required=True, metavar="PATH", help="file to write: .svg or .png")
    gallery.add_argument("--width", type=_whole(50, 3000), default=1600, help="of a .png, in dots (default: 1600)")
    _with_hand(gallery)
    _with_words(gallery, units=False)
    sheet = command(
        "sheet",
        "set the pattern sheet to hand out, as a PDF",
        "slype sheet estuary.toml -o estuary.pdf\n"
        "slype sheet estuary.toml -o left.pdf --paper letter --hand left --wording uk\n"
        "slype sheet estuary.toml -o student.pdf --for student",
    )
    _with_file(sheet)
    sheet.add_argument("-o", "--output", required=True, metavar="PATH", help="file to write: .pdf")
    _with_rest(sheet)
    sheet.add_argument("--paper", choices=tuple(PAPERS), default="a4", help="size of the paper (default: a4)")
    sheet.add_argument(
        "--for",
        dest="reader",
        choices=(*READERS, BOARD),
        help="who reads it: a student (numbered steps, a drawing for each), the teacher, the experienced (a card of "
        "one page), or whoever shows it to a class; or the holes of its board at full size, over several pages; "
        "without, the pattern sheet",
    )
    sheet.add_argument("--large", action="store_true", help="with --for: large type, 18 points")
    sheet.add_argument("--grey", "--gray", action="store_true", help="with --for: drawings in greys")


def _lesson(command) -> None:
    lesson = command(
        "lesson",
        "make one file that plays the weaving stroke by stroke on a phone, without a network",
        "slype lesson estuary.toml -o estuary.html\nslype lesson estuary.toml -o left.html --hand left --wording uk\n"
        "slype lesson estuary.toml --share",
    )
    _with_file(lesson)
    lesson.add_argument("-o", "--output", metavar="PATH", help="file to write: .html")
    lesson.add_argument(
        "--share", action="store_true", help="show it, read only, to phones in this network until Ctrl-C; prints a code"
    )
    lesson.add_argument("--seats", action="store_true", help="with --share: a seat may tell how far it is, if it wants")
    lesson.add_argument("--host", help="with --share: this machine's address in the room (default: found)")
    lesson.add_argument(
        "--port", type=_whole(1, 65535), help="with --share: port (default: the first free one from 4787)"
    )
    lesson.add_argument("--no-browser", action="store_true", help="with --share: no code for the wall in the browser")
    _with_rest(lesson)


def _class(command) -> None:
    one = command(
        "class",
        "plan a class: cutting, kits and labels for every seat, in a folder to print from",
        "slype class class.toml -o saturday\nslype class estuary.toml --seats 12 --left 3 -o saturday\n"
        "slype class class.toml -o saturday --no-names --paper letter",
    )
    one.epilog = (
        f"{one.epilog}\n\nExit status: 0 all is well; 1 something cannot be as asked (a piece longer than any strand); "
        "2 something\ncould not be read (it is named by file, row and column). The rest is worked and written all the "
        "same."
    )
    one.add_argument("file", metavar="FILE", help="a class file, or a design with --seats")
    one.add_argument("--seats", type=_whole(1, 400), help="how many students, for a design without a class file")
    one.add_argument("--left", type=_whole(0, 400), help="so many are left-handed, the rest right (left out: as drawn)")
    one.add_argument("-o", "--output", metavar="FOLDER", help="folder to write; left out, only the report is printed")
    one.add_argument("--no-names", action="store_true", help="leave the students' names off everything that is written")
    one.add_argument("--paper", choices=tuple(PAPERS), help="size of the paper (default: as the class says)")
    one.add_argument("--bind", action="store_true", help="bind every kit's pattern sheet into the folder's PDF as well")
    one.add_argument("--no-sheets", action="store_true", help="leave out pattern sheets and lessons, the slow part")
    _with_rest(one)
    _with_json(one)


def _studio(command) -> None:
    studio = command(
        "studio",
        "open the page in the browser where a basket is shaped, on this machine only",
        "slype studio\nslype studio my-designs\nslype studio my-basket.toml",
    )
    studio.add_argument(
        "places", nargs="*", metavar="PLACE", help="folders with designs, or design files (default: this folder)"
    )
    studio.add_argument(
        "--port", type=_whole(1, 65535), help="port to listen on (default: the first free one from 4747)"
    )
    studio.add_argument(
        "--host",
        default="127.0.0.1",
        help="address to listen on; one of your network lets a phone in the house look on (default: 127.0.0.1)",
    )
    studio.add_argument("--no-browser", action="store_true", help="only print the address")
    studio.add_argument(
        "--baskets", action="store_true", help="open the folder Baskets among your documents, made where there is none"
    )
    studio.add_argument(
        "--shortcut", action="store_true",
        help="put an icon among your applications that opens the studio with these places (default: --baskets)",
    )  # fmt: skip
    studio.add_argument(
        "--stay", action="store_true", help="after trouble wait for Enter, for a window that would close with it"
    )
    studio.add_argument("--remove-shortcut", action="store_true", help="take that icon away again")
