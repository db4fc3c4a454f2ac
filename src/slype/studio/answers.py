"""What the studio's workers answer: from a design file's text to figures, solids, pictures and sheets.

The same use-cases as the commands. What a worker remembers from one answer to the next is in `remembered`.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from functools import wraps
from types import ModuleType
from typing import TYPE_CHECKING, Any, Literal

from ..colour import hex_of
from ..design.file import reader
from ..design.values import Design
from ..edit import apply
from ..errors import DesignError, Place, SlypeError, Unweavable
from ..make import papers, pictures
from ..plans import planning
from ..plans.planning import Plan
from ..words import refusal, worded
from .remembered import Progress, forget, plan_for, planned, rest_of
from .shown import choices, lists
from .shown.class_texts import is_class
from .told.baskets import MomentsTold
from .told.tables import Tables

if TYPE_CHECKING:
    from ..kit.money import Money

SMALL_PX = 240
FLAT_PX = 2400  # width of the unrolled wall: sixty to eighty dots a space


def _classes() -> ModuleType:
    """What is told of classes. Few ask for it, and a worker that need not load it begins an eighth sooner."""
    from .shown import classes

    return classes


def read(text: str, name: str, progress: Progress) -> dict:
    """The document of a text. Raises DesignError when it is no design."""
    if is_class(text):
        return _classes().document(text, name)
    reader.parse(text, name)
    return apply.document(text, name)


def blank(begin: dict[str, str], progress: Progress) -> str:
    """The text of a small basket to begin from."""
    return apply.blank(**begin)


def tables(wording: str, progress: Progress) -> Tables:
    """What may be chosen, in one wording."""
    return choices.tables(wording)


def warm_up() -> None:
    """Load and try what the first question will want, while the page is still on its way."""
    look(apply.blank(), "", 0, lambda share: None)
    forget()


def titles(texts: list[str], progress: Progress) -> list[str | None]:
    """What each basket is called; None where it is not."""
    found = []
    for text in texts:
        try:
            tables = apply.document(text)
            title = tables.get("class" if is_class(text) else "basket", {}).get("title")
        except (DesignError, AttributeError):
            title = None
        found.append(title if isinstance(title, str) and title else None)
    return found


def edit(text: str, changes: list, name: str, progress: Progress) -> dict:
    """{text, notes, document} once `changes` (see `apply.apply`) are made. Raises DesignError where one cannot be."""
    return _classes().edit(text, changes, name) if is_class(text) else _edited(text, changes, name)[0]


def _edited(text: str, changes: list, name: str) -> tuple[dict, Design]:
    edited = apply.apply(text, changes, name)
    assert edited.design is not None and edited.design.tables is not None, "it was read from a text"
    document = apply.document(edited.text, name, dict(edited.design.tables))
    return {"text": edited.text, "notes": edited.notes, "document": document}, edited.design


def change(text: str, changes: list, name: str, revision: int, progress: Progress) -> dict:
    """The same with the new text's `look` as `answer`; None where the text is what it was.

    What cannot be reckoned stands all the same, for it can be undone; the answer has the trouble.
    """
    edited, design = (edit(text, changes, name, progress), None) if is_class(text) else _edited(text, changes, name)
    answer = None
    if edited["text"] != text:
        try:
            if design is None:
                answer = look(edited["text"], name, revision, progress)
            else:
                answer = _look(design, edited["document"], edited["text"], name, revision)
        except SlypeError as trouble:
            answer = {
                "look": None,
                "form": None,
                "trouble": told_of(trouble, name, reader.wording_of(edited["text"])),
                "solid": None,
            }
    return {**edited, "answer": answer}


def look(text: str, name: str, revision: int, progress: Progress) -> dict:
    """{look, trouble, document, solid}: all of one text at once, stacked. Raises DesignError when it is no design."""
    if is_class(text):
        return _classes().look(text, name)
    tables = reader.tables_of(text, name)
    return _look(reader.parsed(tables, name), apply.document(text, tables=tables), text, name, revision)


def _look(design: Design, document: dict, text: str, name: str, revision: int) -> dict:
    answer: dict[str, Any] = {"document": document, "look": None, "form": None, "trouble": None, "solid": None}
    try:
        plan = planned(text, name, design)
        answer["look"] = lists.look(plan)
        answer["solid"] = _solid(plan, revision)
    except Unweavable as trouble:
        answer["trouble"], answer["form"] = told_of(trouble, name, design.wording, design), lists.bare_form(design)
    return answer


def told_of(trouble: SlypeError, name: str, wording: str, design: Design | None = None) -> dict[str, str]:
    """A trouble for the page, which shows one basket: without the file's `name`, and a band with that of its weave."""
    progress = trouble.reworded(lambda said: refusal(said, wording)).as_json()
    where = progress["where"].removeprefix(name).removeprefix(", ")
    match trouble.path:
        case ("band", int(index), *inside) if design is not None and index < len(design.bands):
            weave = design.bands[index].weave.named(design.wording)
            where = ", ".join([f"{Place.of('band', index)} ({weave})", *([Place.of(*inside)] if inside else [])])
    return {**progress, "where": where[:1].upper() + where[1:]}


def _solid(plan: Plan, revision: int) -> bytes:
    from ..draw.solid import solid_of

    return solid_of(plan, revision)


def at_rest(text: str, name: str, revision: int, basket: str, progress: Progress) -> dict:
    """{look, solid, lies}: the same once its reeds lie at rest, starting from the basket's last answer; `lies` is where
    they lie, for another worker (see `remembered.know`). The studio's own process only passes that on: to read it, it
    would have to load what reckons."""
    rest = rest_of(text, name, basket, progress)
    plan = planning.plan(rest.design, rest)
    lies = pickle.dumps(rest, pickle.HIGHEST_PROTOCOL)
    return {"look": lists.look(plan), "solid": _solid(plan, revision), "lies": lies}


def class_at_rest(text: str, path: str, progress: Progress) -> dict:
    """{kit, sums}: of a class, from its baskets at rest."""
    return _classes().at_rest(text, path, progress)


def class_paper_at_rest(text: str, path: str, kind: str, options: dict, progress: Progress) -> bytes:
    """A file to take away of a class whose baskets are known at rest."""
    return _classes().paper(text, path, kind, options, progress)


def class_settled(text: str, path: str, sums: Money, progress: Progress) -> None:
    """Keep the money of a class at rest, for `what_if`."""
    _classes().keep_sums(text, path, sums)


# Pictures and papers -------------------------------------------------------------------------------------------


def picture(
    text: str, name: str, basket: str, view: str, options: dict, rest: bytes | None, progress: Progress
) -> bytes:
    """A view as SVG; with `dots` as PNG, for a wall unrolled has more lines than a browser draws at once.

    Options, all true or false: `relaxed`, `hatched`, `dots`. `rest` as `at_rest` gave it, None where nobody knows.
    """
    plan = plan_for(text, name, basket, bool(options.get("relaxed")), progress, rest)
    kind: Literal["svg", "png"] = "png" if options.get("dots") else "svg"
    return pictures.picture(plan, view, kind, FLAT_PX, bool(options.get("hatched")))


def small(text: str, name: str, progress: Progress) -> bytes:
    """The basket from outside as it stands on the bench, small, as PNG; of a class the basket that it weaves."""
    if is_class(text):
        text, name = _classes().design_of(text, name)
    return pictures.picture(planned(text, name), "outside", "png", SMALL_PX)


def paper(
    text: str, name: str, basket: str, kind: str, options: dict, rest: bytes | None, progress: Progress
) -> bytes:
    """A file to take away: kind "sheet", "lesson", "glb", "svg", "png", "chart"; of a class "folder". `rest` as in
    `picture`."""
    if is_class(text):
        return _classes().paper(text, name, kind, options)
    plan = plan_for(text, name, basket, kind != "chart", progress, rest)
    if kind == "lesson":
        return papers.lesson(plan, options.get("seats") == "1")
    if kind == "sheet":
        hand = options.get("hand") or plan.design.hand
        if hand not in ("right", "left"):
            raise DesignError(f'there is no hand "{str(hand)[:20]}".', "hand", "Right or left.")
        if hand != plan.design.hand:
            plan = planning.reworded(plan, hand=hand)
        large, grey = (options.get(each) == "1" for each in ("large", "grey"))
        return papers.sheet(plan, options.get("reader") or None, str(options.get("paper", "a4")), large, grey)
    if kind == "glb":
        return pictures.solid(plan)
    if kind in ("svg", "png", "chart"):
        view = "squares" if kind == "chart" else str(options.get("view", "outside"))
        return pictures.picture(plan, view, "png" if kind == "png" else "svg")
    raise DesignError(f'slype makes no "{str(kind)[:20]}".', "kind")


# Questions of the page's own rooms -----------------------------------------------------------------------------


def moments(text: str, name: str, details: dict, progress: Progress) -> MomentsTold:
    """The whole order of work for the stroke player."""
    from ..export.promised import moments_json
    from ..order.moments import moments as moments_of
    from ..order.viewpoints import places
    from ..tell.moments import sentences

    plan = planned(text, name)
    order = moments_of(plan.laid)
    form = moments_json(plan, plan.laid, order)
    seen = places(plan.laid, order)
    return {
        "moments": form["moments"],
        "parts": form["parts"],
        "words": sentences(plan, plan.laid, order),
        "around": seen.eye.tolist(),
        "up": seen.up.tolist(),
    }


def pasted_roster(text: str, name: str, details: dict, progress: Progress) -> list[dict]:
    """Changes that put pasted rows in place of a class's students."""
    return _classes().pasted(text, name, str(details.get("cells", "")))


def what_if(text: str, name: str, details: dict, progress: Progress) -> dict:
    """What a class of so many seats at such a fee would leave."""
    seats, fee = details.get("seats"), details.get("fee")
    if not isinstance(seats, int) or not isinstance(fee, int | float):
        raise DesignError("the question names no seats and fee.", "seats")
    return _classes().what_if(text, name, seats, fee)


def effects_wall(text: str, name: str, details: dict, progress: Progress) -> list[dict]:
    """Every distinct result within reach of one band, of the basket or `of` its lid, each with its changes and a small
    picture; last the `checks` that its colours can make. Of a band of one colour what it could show with a `second`,
    the one that is asked for or one that stands out: each result then names it. `now` its ends as designed."""
    from ..advice.remedies import in_lid
    from ..advice.results import checks, in_words, wall
    from ..advice.second_colour import from_plain, is_plain, second_of, with_second
    from ..draw.results import pictures
    from ..export.promised import results_json
    from ..lay.laying import lay
    from ..lay.lids import fit_lid

    design = reader.parse(text, name)
    of_lid = details.get("of") == "lid"
    if of_lid:
        seat = fit_lid(lay(design))
        if seat is None:
            raise DesignError("there is no lid.", "lid")
        design = seat.design
    band = details.get("band")
    if not isinstance(band, int) or not 0 <= band < len(design.bands):
        raise DesignError("there is no such band.", "band")
    asked, second, wider = design, None, None
    if is_plain(design.bands[band]):
        second = str(details.get("second") or second_of(design, band))
        hex_of(asked.palette.get(second, second), "second")
        wider = with_second(design, band, second)
        design = wider or design
    options, squares = wall(design, band), checks(design, band)
    if wider is not None:
        options, squares = (from_plain(asked, wider, band, each) for each in (options, squares))
    every = (*options, *squares)
    answer = results_json(every, in_words(design, every), pictures(every))
    words = [{key: worded(each[key] or "", design.wording) for key in ("words", "why", "spoils")} for each in answer]
    answer = [
        {
            **each,
            **words,
            "checks": i >= len(options),
            "second": second if wider is not None else None,
            "now": asked.ends_at(band),
        }
        for i, (each, words) in enumerate(zip(answer, words, strict=True))
    ]
    return [{**each, "changes": list(in_lid(tuple(each["changes"])))} for each in answer] if of_lid else answer


def book(text: str, name: str, progress: Progress) -> dict:
    """The maker's book beside the design on the bench."""
    from .shown import books

    return dict(books.look(text, name))


def book_act(act: str, fields: dict, text: str, name: str, designs: list, progress: Progress) -> dict:
    """What came of something done to the book."""
    from .shown import book_acts

    return dict(book_acts.do(act, fields, text, name, designs))


def book_paper(kind: str, asked: dict, progress: Progress) -> tuple[bytes, str]:
    """(bytes, name) of a year, of the whole book or of a basket's design, to take away."""
    from .shown import book_papers

    return book_papers.paper(kind, asked)


def photograph(raw: bytes, asked: dict, progress: Progress) -> dict:
    """What was asked of a photograph: a length, or rows along a line."""
    from .shown import photographs

    return dict(photographs.measured(raw, asked))


def keep_photograph(raw: bytes, basket: str, name: str, progress: Progress) -> dict:
    """Keep a photograph with a basket of the book."""
    from .shown import photographs

    return dict(photographs.kept(raw, basket, name))


def _in_its_words(answer: Callable) -> Callable:
    """What is refused is refused in the wording of the text that was asked about."""

    @wraps(answer)
    def answered(text: str, *args: object, **more: object) -> object:
        try:
            return answer(text, *args, **more)
        except SlypeError as trouble:
            wording = reader.wording_of(text)
            raise trouble.reworded(lambda said: refusal(said, wording)) from trouble

    return answered


ANSWERS = {
    "read": read,
    "blank": blank,
    "tables": tables,
    "titles": titles,
    "edit": _in_its_words(edit),
    "change": _in_its_words(change),
    "look": _in_its_words(look),
    "at rest": _in_its_words(at_rest),
    "class at rest": class_at_rest,
    "class settled": class_settled,
    "class paper at rest": class_paper_at_rest,
    "picture": _in_its_words(picture),
    "paper": _in_its_words(paper),
    "small": _in_its_words(small),
    "moments": _in_its_words(moments),
    "effects wall": _in_its_words(effects_wall),
    "pasted roster": pasted_roster,
    "what if": what_if,
    "book": book,
    "book act": book_act,
    "book paper": book_paper,
    "photograph": photograph,
    "keep photograph": keep_photograph,
}
BEGINNINGS = {"warm up": warm_up}
