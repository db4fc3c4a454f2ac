"""What goes with what in a design file: after one key is changed, others follow, each with a note.

Two kinds. `follow_up` knows which keys a maker means to change together (rows in place of a height, an outline with all
its sizes). `settle` asks the reader of designs, and mends what it refuses: a start beyond the spaces, colours that no
longer fit, keys that belong to another kind. So the rules themselves stay with the reader. Both change plain tables in
place; a note is a template for `words.say` with its values. What the maker asked for is never mended away.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..design import values as d
from ..design.counts import most_added
from ..design.file.bands import ends_where, groups_of, read_weave
from ..design.file.reader import design_of, spokes_of
from ..design.file.toml import Table
from ..errors import DesignError
from ..form.handles import KINDS as HANDLES
from ..form.lids import SEATS
from ..weave.effects import colours_that_fit
from ..weave.table import EVERY_END, WEAVES, Weave, weave_named
from .groups import at_base, follow_count, tie_again
from .lists import Path
from .moves import written_out
from .sizes import Note, become_board, follow_outline, follow_size, leave_board, units_of
from .values import where_of

HOW_FAR = ("rows", "height", "until")
MOST_MENDS = 60


# What a maker means with one key -------------------------------------------------------------------------------


def follow_up(old: dict, new: dict, asked: Path) -> list[Note]:
    """What goes along with the key that was set, in `new`; `old` is what stood before."""
    try:
        return _follow_up(old, new, asked)
    except (DesignError, KeyError, TypeError, IndexError, AttributeError, ValueError):
        return []  # something else is wrong there: the reader of designs will say what


def _follow_up(old: dict, new: dict, asked: Path) -> list[Note]:
    head = asked[:2]
    if asked[0] == "lid" and len(asked) > 1:
        if asked[1] == "seat":
            return _seat(new)
        if asked[1] == "spokes":
            return follow_count(old.get("lid", {}), new["lid"], "base")
        return _follow_up(old.get("lid", {}), new["lid"], asked[1:]) if asked[1] == "band" else []
    if asked[0] == "band" and len(asked) > 2:
        at: Any = asked[1]  # anything but a place raises TypeError
        before = old["band"][at] if at < len(old.get("band", [])) else {}
        return _band(before, new["band"][at], at, str(asked[2]), new)
    if asked[0] == "handle" and len(asked) == 3 and asked[2] == "kind":
        return _handle(new["handle"][asked[1]])
    if head == ("border", "kind") and "kind" not in new["border"] and "rows" not in new["border"]:
        return written_out(old["border"], new["border"])
    if head == ("border", "kind") or head == ("border", "rows"):
        other = "rows" if asked[1] == "kind" else "kind"
        if asked[1] in new["border"] and new["border"].pop(other, None) is not None:
            said = "its name, its own moves are left out" if other == "rows" else "moves of its own"
            return [("The {border} goes by {said} now.", {"said": said})]
        return []
    if asked == ("form", "outline"):
        notes = follow_outline(old, new)
        if new["form"].get("outline", "round") == "round" and new.get("base", {}).get("kind") != "board":
            notes += tie_again(new)
        woven = any(band.get("where") == "base" for band in new["band"])
        if new["form"]["outline"] == "rectangle" and woven:
            new.setdefault("base", {})["kind"] = "board"
            notes += [("A rectangle's base is not woven round its middle: it is a board now.", {}), *become_board(new)]
        return notes
    if head in (("form", "base"), ("form", "wall")):
        return follow_size(old, new, asked)
    if head in (("base", "kind"), ("base",)):
        before, now = (each.get("base", {}).get("kind") for each in (old, new))
        if now == "board" != before:
            return become_board(new)
        return leave_board(new) if before == "board" != now else []
    if head in (("spokes", "ends"), ("spokes", "base_ends"), ("spokes", "inserted"), ("base", "beside")):
        return [*_beside(new), *follow_count(old, new, "side")]
    return []


def _beside(new: dict) -> list[Note]:
    """Side spokes go in beside base ends, so many to each, where the file says so."""
    if "beside" in new.get("base", {}) and new["spokes"].get("inserted"):
        base_ends = at_base(new)
        if base_ends is None:
            return []
        new["spokes"].setdefault("base_ends", base_ends)
        whole = new["base"]["beside"] * base_ends
        if "ends" in new["spokes"] and new["spokes"]["ends"] not in (whole, whole - 1):
            new["spokes"]["ends"] = whole
            return [("{ends} ends now: {beside} beside every base end.",
                     {"ends": whole, "beside": new["base"]["beside"]})]  # fmt: skip
    return []


def _band(old: dict, band: dict, i: int, key: str, tables: dict) -> list[Note]:
    name: dict[str, object] = {"n": i + 1}
    if key in HOW_FAR and key in band:
        gone = [other for other in HOW_FAR if other != key and band.pop(other, None) is not None]
        said = {**name, "gone": " and ".join(map(_how_far, gone)), "key": _how_far(key)}
        return [("Band {n} goes by {key} now, no longer by {gone}.", said)] if gone else []
    if key == "add" and band.get("add") == 0 and not isinstance(band["add"], bool):  # none is said by saying nothing
        del band["add"]
        return []
    if key == "groups" and band.get("groups", 1) == 1 and "odd" in band:
        del band["odd"]
        return [("Band {n} is worked over single ends, so none are left over.", name)]
    if key == "where":
        return _where(old, band, name, tables)
    if key == "cycle" and "cycle" in band:
        gone = [other for other in ("over", "under") if band.pop(other, None) is not None]
        return [("Band {n}: over and under left out, as the cycle says them.", name)] if gone else []
    if key in ("over", "under") and key in band:
        return _partner(band, key, name)
    if key == "weavers" and "weave" in band and "weavers" in band:
        return _as_many(band, name)
    if key == "weave" and "weave" in band:
        if "weave" in old and weave_named(band["weave"]) == weave_named(old["weave"]):
            return []
        gone = [each for each in ("over", "under", "cycle", "weavers", "turns") if band.pop(each, None) is not None]
        return [("Band {n}: {gone} left out: {weave} has its own.",
                 {**name, "gone": ", ".join(gone), "weave": band["weave"]})] if gone else []  # fmt: skip
    if key == "weave" and "weave" not in band and "weave" in old:
        weave = weave_named(old["weave"])
        if weave.weavers != EVERY_END:
            band.setdefault("weavers", weave.weavers)
        if "cycle" not in band:
            for each, value in zip(("over", "under"), weave.cycle[0], strict=True):
                band.setdefault(each, value)
        return [("Band {n} is a weave of your own now, with the strokes of {weave}.", {**name, "weave": weave.name})]
    return []


def _how_far(key: str) -> str:
    """What a maker calls a way to say how far a band goes."""
    return {"rows": "its rows", "height": "its height"}.get(key, "where it ends")


def _where(old: dict, band: dict, name: dict[str, object], tables: dict) -> list[Note]:
    if band.get("where") == "base" != old.get("where", "base" if "form" not in tables else "side") and "until" in band:
        base = tables["form"]["base"]
        band["until"] = base[-1] if isinstance(base, list) else base
        return [("Band {n} goes to the edge of the base.", name)]
    if band.get("where") != "base" and band.get("until", "top") != "top":
        del band["until"]
        band["rows"] = 3
        return [("Band {n} has 3 rows: the size of a base says nothing at the side.", name)]
    return []


def _partner(band: dict, key: str, name: dict[str, object]) -> list[Note]:
    """Over and under of a named weave whose weavers take turns make its number of weavers together."""
    notes: list[Note] = []
    if band.pop("cycle", None) is not None:
        notes.append(("Band {n}: the longer cycle is left out.", name))
    weave = weave_named(band["weave"]) if "weave" in band else None
    other = "under" if key == "over" else "over"
    if weave is not None and weave.turns == "stroke" and band[key] + band.get(other, 1) != weave.weavers:
        if weave.weavers - band[key] >= 1:
            band[other] = weave.weavers - band[key]
            notes.append(("Band {n}: {other} {value}, so that the {weavers} weavers have their places.",
                          {**name, "other": other, "value": band[other], "weavers": weave.weavers}))  # fmt: skip
    return notes


def _as_many(band: dict, name: dict[str, object]) -> list[Note]:
    """Another number of weavers than a named weave has: the weave of that many, if the trade has one."""
    weave: Weave = weave_named(band["weave"])
    wanted = band["weavers"]
    if wanted == weave.weavers:
        return []
    like = [w for w in WEAVES.values() if (w.weavers, w.turns, w.reverse) == (wanted, weave.turns, weave.reverse)]
    if not like:
        return []
    del band["weavers"]
    band["weave"] = like[0].name
    for key in ("over", "under", "cycle"):
        band.pop(key, None)
    return [("Band {n}: with {many} weavers it is {weave}.", {**name, "many": wanted, "weave": like[0].name})]


def _handle(handle: dict) -> list[Note]:
    record = HANDLES[handle["kind"]]
    needed, other = ("wrap", "core") if record.twisted else ("core", "wrap")
    if needed not in handle and other in handle:
        handle[needed] = handle.pop(other)
        return [("The reed of the handle is its {needed} now.", {"needed": needed})]
    return []


def _seat(new: dict) -> list[Note]:
    lid = new["lid"]
    side = [band for band in lid["band"] if band.get("where") == "side"]
    if SEATS[lid["seat"]].has_side:
        lid.setdefault("depth", "1 in" if units_of(new) == "in" else "2.5 cm")
        if not side:
            lid["band"].append({"where": "side", "weave": "three-rod wale", "reed": lid["band"][-1]["reed"], "rows": 3})
            return [("The lid has a low side of three-rod wale now, to go over the {border}.", {})]
    elif side or "depth" in lid:
        lid.pop("depth", None)
        lid["band"] = [band for band in lid["band"] if band.get("where") != "side"]
        return [("The lid is flat now: its side is left out.", {})]
    return []


def spread_colours(band: dict, place: int, tables: dict) -> list[Note]:
    """One colour for all becomes one for each weaver (or strand), so that `place` can have a colour of its own."""
    colours = band.get("colours", ["natural"])
    colours = [colours] if isinstance(colours, str) else colours
    if not isinstance(colours, list) or len(colours) != 1:
        return []
    weave, strands = read_weave(Table(band, "band"))
    if weave.weavers == EVERY_END:
        fit = [place + 1]
    else:
        fit = [n for n in colours_that_fit(weave.weavers, strands) if n > place]
    if not fit:
        return []
    band["colours"] = colours * min(fit)
    return [("Each of the {many} has a {colour} of its own now.", {"many": min(fit)})] if min(fit) > 1 else []


# What the reader refuses ---------------------------------------------------------------------------------------


def settle(tables: dict, asked: list[Path]) -> tuple[d.Design, list[Note]]:
    """The design that the tables make, with what it takes to be read mended in them.

    Raises the reader's DesignError for whatever is not to be mended, and for what the maker asked for itself.
    """
    notes: list[Note] = []
    for _ in range(MOST_MENDS):
        try:
            return design_of(tables), notes
        except DesignError as refused:
            path = refused.path
            note = _mended(tables, path, asked, refused)
            if note is None:
                raise
            notes.append(note)
    return design_of(tables), notes


def _mended(tables: dict, path: Path, asked: list[Path], refused: DesignError) -> Note | None:
    scope = tables
    inner = path
    if path[:1] == ("lid",) and isinstance(tables.get("lid"), dict):
        scope, inner = tables["lid"], path[1:]
    of_band = inner[:1] == ("band",) and len(inner) >= 2 and isinstance(inner[1], int)
    if not inner or (any(_overlap(path, each) for each in asked) and not (of_band and len(inner) == 2)):
        return None
    if of_band:
        return _mended_band(tables, scope, path, inner, asked)
    said = (tuple(step for step in each if isinstance(step, str))[:2] for each in (path, inner))
    names = next((each for each in said if each in LEFT_OUT), None)
    if names is not None:
        holder: Any = scope if len(inner) == 1 else scope.get(str(inner[0]))
        if len(inner) == 3 and isinstance(holder, list):
            holder = holder[int(inner[1])]
        gone = [key for key in (inner[-1], *LEFT_OUT[names]) if isinstance(holder, dict) and key in holder]
        for key in gone:
            del holder[key]
        if gone:
            return "{where} left out: {why}", {"where": where_of(path), "why": refused.message}
    return None


LEFT_OUT: dict[tuple[str, ...], tuple[str, ...]] = {
    **{("spokes", key): () for key in ("long_sticks", "base_reed", "base_ends", "insertion")},
    **{("base", key): () for key in ("through", "sets", "margin", "thickness", "foot", "odd", "beside")},
    **{("handle", key): () for key in ("rods", "turn", "strands", "cores")},
    ("base", "kind"): ("sets", "through"),
    ("form", "corner"): (),
    ("lid", "depth"): (),
    ("foot",): (),
    ("bye_spokes",): (),
}
"""Keys to leave out when the reader says that they do not belong, with what goes with them."""


def _overlap(path: Path, asked: Path) -> bool:
    """True when what the maker set is this key or stands in it; a whole table does not count."""
    return asked[: len(path)] == path


def _mended_band(tables: dict, scope: dict, path: Path, inner: Path, asked: list[Path]) -> Note | None:
    band, place = scope["band"][inner[1]], path[: len(path) - len(inner) + 2]
    if not isinstance(band, dict):
        return None
    key = inner[2] if len(inner) > 2 else ""
    if key in ("", "weavers", "turns", "reverse", "cycle"):
        return _mended_weave(band, str(key), place, asked)
    mend: Callable | None = BAND_MENDS.get(str(key))
    if mend is None:
        return None
    spokes = spokes_of({**tables, "spokes": scope["spokes"], "base": scope.get("base", {})})
    usual = "side" if scope is tables else "base"
    before = ends_where(scope["band"], int(inner[1]), spokes, usual)
    return mend(band, before, {**band, "where": band.get("where", usual)}, where_of(place))


def _mended_weave(band: dict, key: str, place: Path, asked: list[Path]) -> Note | None:
    set_here = {each[len(place)] for each in asked if each[: len(place)] == place and len(each) > len(place)}
    gone = [each for each in ([key] if key else ["over", "under", "cycle"]) if each in band]
    if not gone or set_here & set(gone) or "weave" not in band:
        return None
    for each in gone:
        del band[each]
    return "{where}: {gone} left out, as {weave} has its own.", {
        "where": where_of(place).capitalize(), "gone": ", ".join(gone), "weave": band["weave"],
    }  # fmt: skip


def _ends(band: dict, before: int) -> int:
    """Ends that a band is worked on: those that stood before and those it adds."""
    add = band.get("add")
    return before + (add if isinstance(add, int) and not isinstance(add, bool) and add > 0 else 0)


def _colours(band: dict, before: int, read: dict, where: str) -> Note | None:
    weave, strands = read_weave(Table(read, where))
    colours = band.get("colours")
    if not isinstance(colours, list) or len(colours) < 2 or weave.weavers == EVERY_END:
        return None
    if len(colours) in colours_that_fit(weave.weavers, strands):
        return None  # it is something else that is wrong with them
    band["colours"] = [colours[k % len(colours)] for k in range(weave.weavers)]
    return "{where}: {colours} for its {many} now: {said}.", {
        "where": where.capitalize(), "many": weave.weavers, "said": ", ".join(map(str, band["colours"])),
        "colours": "the colour" if weave.weavers == 1 else "colours",
    }  # fmt: skip


def _start(band: dict, before: int, read: dict, where: str) -> Note | None:
    *_, spaces = groups_of(Table(read, where), _ends(band, before))
    was = band["start"]
    if isinstance(was, bool) or not isinstance(was, int) or was <= spaces:
        return None
    band["start"] = (was - 1) % spaces + 1
    return "{where} starts in space {now}: there are only {spaces} now.", {
        "where": where.capitalize(), "now": band["start"], "spaces": spaces,
    }  # fmt: skip


def _shift(band: dict, before: int, read: dict, where: str) -> Note | None:
    *_, spaces = groups_of(Table(read, where), _ends(band, before))
    blocks = band["blocks"]
    was = blocks.get("shift") if isinstance(blocks, dict) else None
    if isinstance(was, bool) or not isinstance(was, int) or was <= spaces:
        return None
    blocks["shift"] = was % spaces
    return "{where}: its blocks move on by {now}: there are only {spaces} spaces now.", {
        "where": where.capitalize(), "now": blocks["shift"], "spaces": spaces,
    }  # fmt: skip


def _groups(band: dict, before: int, read: dict, where: str) -> Note | None:
    ends = _ends(band, before)
    was = band["groups"]
    if isinstance(was, bool) or not isinstance(was, int) or was <= ends:
        return None
    band["groups"] = ends
    return "{where}: groups of {now}: there are only so many ends now.", {"where": where.capitalize(), "now": ends}


def _added(band: dict, before: int, read: dict, where: str) -> Note | None:
    most, was = most_added(before), band["add"]
    if isinstance(was, bool) or not isinstance(was, int) or was <= most or most < 1:
        return None
    band["add"] = most
    return "{where} adds {now}: no more go in beside {before}.", {
        "where": where.capitalize(), "now": most, "before": before,
    }  # fmt: skip


def _all_round(band: dict, before: int, read: dict, where: str) -> Note | None:
    del band["add_at"]
    if "add" not in band:
        return "{where}: where ends are added is left out, as none are.", {"where": where.capitalize()}
    return "{where}: its ends are added all round now.", {"where": where.capitalize()}


BAND_MENDS = {
    "colours": _colours,
    "start": _start,
    "blocks": _shift,
    "groups": _groups,
    "add": _added,
    "add_at": _all_round,
}
