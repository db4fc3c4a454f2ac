"""Designs to attack with: broken by bytes, broken by structure, and odd but whole.

Each comes from a seed: the same seed is the same text.
"""

from __future__ import annotations

import copy
import math
import random
import tomllib

from commands import BASKET
from places import SOURCE
from strategies import basket_by_chance

from slype.borders.table import BORDERS
from slype.colour import REED_COLOURS
from slype.design.file.keys import KEYS, TABLES
from slype.form.bases import KINDS as BASES
from slype.form.handles import KINDS as HANDLES
from slype.form.lids import SEATS
from slype.reeds import REEDS
from slype.weave.table import WEAVES

EXAMPLES = [path.read_text("utf-8") for path in sorted((SOURCE / "examples").glob("*.toml"))]
HOSTILE = (
    "", " ", "\u001b[31mred", "a\tb", "a\nb", "\u0000", "\u202eabc", "x" * 3000, "<b>&amp;\"'</b>", "#let x = 1",
    "$x$ *y* _z_ @a #b", "\\", "../../etc/passwd", "🧺" * 40, "e\u0301" * 50, "0", "-1", "nan", "%s %d {0} {x}", 0, -1,
    1, 2, 3, 7, 400, 401, 2**31, 2**63, -(2**63), 0.0, -0.0, 0.5, 1e-9, 1e9, 1e308, math.nan, math.inf, -math.inf, True,
    False, [], {}, [[]], [{}], {"a": 1}, ["natural"] * 100, "0 in", "-1/16 in", "-3 in", "1/64 in", "0.3 mm", "1 mm",
    "2 cm", "3 m", "2999 mm", "1e3 in", "999999 ft", "½ in", "3,5 cm", "7 1/0 in", "9 ft 6 in",
)  # fmt: skip
LENGTHS = ("0 in", "1/16 in", "1/4 in", "1/2 in", "1 in", "2 in", "3 1/2 in", "5 in", "7 in", "9 in", "14 in", "2 ft",
           "5 ft", "9 ft", "1 mm", "5 mm", "3 cm", "28 cm", "1 m", "2.9 m")  # fmt: skip
COUNTS = (1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 20, 21, 24, 28, 31, 32, 40, 60, 100, 200, 399, 400)
ROWS = ("behind 1 out", "behind 2 out", "over 1 in", "over 2 in", "over 3 in", "over 12 in", "over 2 down",
        "over 1 down", "behind 1 over 1 out", "behind 3 over 2 in")  # fmt: skip


def text_of(seed: int) -> tuple[str, bytes]:
    """(kind, text) of one design: "bytes", "structure" or "odd"."""
    by = random.Random(f"design {seed}")
    kind = by.choices(("bytes", "structure", "odd"), (2, 5, 4))[0]
    if kind == "odd":
        return kind, dumped(odd(by)).encode()
    start = by.choice([*EXAMPLES, BASKET, basket_by_chance(by.randrange(10**9)), dumped(odd(by))])
    if kind == "bytes":
        return kind, by_bytes(start.encode(), by)
    tables = tomllib.loads(start)
    for _ in range(by.choice((1, 1, 1, 2, 3, 6))):
        tables = by_structure(tables, by)
    return kind, dumped(tables).encode("utf-8", "surrogatepass")


# Broken --------------------------------------------------------------------------------------------------------


def by_bytes(raw: bytes, by: random.Random) -> bytes:
    """The text with bytes changed, lost, doubled or put in."""
    raw = bytearray(raw)
    for _ in range(by.choice((1, 1, 2, 5, 20))):
        at = by.randrange(len(raw)) if raw else 0
        many = by.choice((1, 1, 2, 10, 200))
        do = by.randrange(6)
        if do == 0:
            del raw[at : at + many]
        elif do == 1:
            raw[at:at] = bytes(by.randrange(256) for _ in range(many))
        elif do == 2:
            raw[at:at] = raw[at : at + many]
        elif do == 3 and raw:
            raw[at] = by.randrange(256)
        elif do == 4:
            raw[at:at] = by.choice(b"\"'[]{}=,.#\n\x00\x1b").to_bytes(1, "big")
        else:
            digits = [i for i, byte in enumerate(raw) if chr(byte).isdigit()]
            if digits:
                raw[by.choice(digits)] = by.choice(b"0123456789-./ ")
    return bytes(raw)


def _spots(value, path=()):
    """Every place in the tables: (container, key)."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in pairs:
        yield value, key, (*path, key)
        yield from _spots(inner, (*path, key))


def by_structure(tables: dict, by: random.Random) -> dict:
    """The tables with one thing changed: another value, a key lost, moved, doubled or put in."""
    tables = copy.deepcopy(tables)
    spots = list(_spots(tables))
    if not spots:
        return {"basket": by.choice(HOSTILE)}
    holder, key, path = by.choice(spots)
    do = by.randrange(9)
    if do == 0:
        del holder[key]
    elif do == 1:
        holder[key] = by.choice(HOSTILE)
    elif do in (2, 3):
        holder[key] = fitting(path, by, holder[key])
    elif do == 4 and isinstance(holder, list):
        holder.insert(key, copy.deepcopy(by.choice(holder)))
    elif do == 5 and isinstance(holder, dict):
        holder[by.choice(KEYS).name if by.random() < 0.8 else by.choice(("", "x", "\u001b[31m", "a b", "é"))] = (
            holder.pop(key) if by.random() < 0.5 else copy.deepcopy(holder[key])
        )
    elif do == 6:
        one = by.choice([each for each in KEYS if each.table])
        table = tables.setdefault(one.table, {})
        table = by.choice(table) if isinstance(table, list) and table else table
        if isinstance(table, dict):
            table[one.name] = fitting((one.table, one.name), by, None)
    elif do == 7:
        other, there, _ = by.choice(spots)
        holder[key] = copy.deepcopy(other[there]) if there in other or isinstance(other, list) else by.choice(HOSTILE)
    elif isinstance(holder[key], list):
        holder[key] = (holder[key] * by.choice((0, 2, 3, 60)))[:400]
    else:
        holder[by.choice(TABLES) if isinstance(holder, dict) else key] = by.choice(HOSTILE)
    return tables


def fitting(path: tuple, by: random.Random, now):
    """A value of the kind that belongs at `path`, though perhaps not one that a basket can have."""
    if isinstance(now, list) and now and isinstance(now[0], list):
        return [[by.choice(LENGTHS) for _ in inner] for inner in now]
    if isinstance(now, bool):
        return not now
    if isinstance(now, int | float):
        return by.choice((now * 2, now + 1, now - 1, -now, now * 100, now // 2 or 1, by.choice(COUNTS)))
    takes = {one.name: one.takes for one in KEYS}.get(str(path[-1]), "")
    if not takes and len(path) > 1:
        takes = {one.name: one.takes for one in KEYS}.get(str(path[-2]), "")
    for word, pool in (
        ("true", (True, False)), ("length", LENGTHS), ("reed", (*REEDS, {"mm": by.choice((0.3, 1.0, 9.0, 30.0))})),
        ("weave", tuple(WEAVES)),
        ("list of colours", ([by.choice(list(REED_COLOURS)) for _ in range(by.choice((1, 2, 3, 4, 9)))],)),
        ("colour", (*REED_COLOURS, "#123456")), ("border", (*BORDERS, [by.choice(ROWS), by.choice(ROWS)])),
        ("list of rows", ([by.choice(ROWS) for _ in range(by.choice((1, 2, 3, 8)))],)),
        ("number", (0, 0.5, 1, 60, 300, 1e6)),
        ("list of counts", ([by.choice((1, 2, 3, 12)) for _ in range(by.choice((2, 4, 3)))],)), ("count", COUNTS),
        ("text", ("A pot", "", "🧺", "x" * 200)),
    ):  # fmt: skip
        if word in takes:
            return by.choice(pool)
    if "|" in takes:
        return by.choice([word.strip() for word in takes.split("|")])
    return by.choice(HOSTILE)


# Odd but whole -------------------------------------------------------------------------------------------------


SITTING = ("3 in", "5 in", "7 in", "9 in", "14 in", "28 cm")
LONG = ("14 in", "2 ft", "5 ft", "9 ft", "3 m")
FOOT = ["behind 1 out", "over 1 down"]


def odd(by: random.Random) -> dict:
    """A basket of any weave, base, border, outline, handle and lid, of sizes that makers hardly use: most of them hang
    together (`wild` ones need not), so that what comes after reading is attacked too."""
    tables, wild = tomllib.loads(basket_by_chance(by.randrange(10**9))), by.random() < 0.25
    if by.random() < 0.4:
        _odd_base(tables, by, wild)
    for i, band in enumerate(tables["band"]):
        _odd_band(band, i, by, wild)
    if by.random() < 0.6:
        kinds = [each for each in BORDERS if wild or "foot" not in each]
        tables["border"] = {"kind": by.choice(kinds)}
    elif by.random() < 0.3:
        tables["border"] = {"rows": [by.choice(ROWS[:5]), *(by.choice(ROWS) for _ in range(by.choice((1, 1, 2))))]}
    if by.random() < 0.3:
        _odd_handle(tables, by, wild)
    if "lid" in tables and by.random() < 0.5:
        tables["lid"]["seat"] = by.choice(list(SEATS))
    spokes = tables["spokes"]
    if by.random() < 0.3:
        spokes["ends"] = by.choice(COUNTS if wild else [each for each in COUNTS if 11 < each < 101])
    if by.random() < 0.15:
        spokes["reed"] = by.choice([*REEDS, {"mm": by.choice((0.3, 0.8, 7.0, 12.0) if wild else (1.5, 2.2, 5.5))}])
    if by.random() < 0.1 and (wild or not spokes.get("inserted")):
        spokes["per_end"] = by.choice((2, 3, 6) if wild else (2,))
    if by.random() < (0.1 if wild else 0.03):
        _scale(tables["form"], by.choice((0.3, 2, 4, 8)))
    if by.random() < 0.1:
        last = by.choice(("1 in", "12 in", "1 m", "2.9 m") if wild else ("7 in", "12 in", "16 in"))
        tables["form"]["wall"][-1][0] = last
    return tables


def _scale(form: dict, times: float) -> None:
    """So many times as large, each way."""

    def larger(length: str) -> str:
        return f"{float(length.removesuffix(' in')) * times:g} in"

    form["wall"] = [[larger(each) for each in point] for point in form["wall"]]
    base = form["base"]
    form["base"] = larger(base) if isinstance(base, str) else [larger(each) for each in base]


def _odd_base(tables: dict, by: random.Random, wild: bool) -> None:
    base = tables.get("base", {}) | {"kind": by.choice(list(BASES))}
    tables["base"] = base
    if wild:
        return
    if base["kind"] == "board":
        base["foot"] = FOOT
        tables["spokes"] = {key: tables["spokes"][key] for key in ("reed", "ends")}
        tables["band"] = [band for band in tables["band"] if band["where"] == "side"] or tables["band"]
        tables.pop("foot", None)
    else:
        base.pop("foot", None)
        if tables["form"].get("outline") != "oval":
            ends = tables["spokes"].get("base_ends") or tables["spokes"]["ends"]
            where = "base_ends" if "base_ends" in tables["spokes"] else "ends"
            tables["spokes"][where] = max(8, 4 * round(ends / 4))


def _odd_band(band: dict, i: int, by: random.Random, wild: bool) -> None:
    if by.random() < 0.1:
        _free(band, by, wild)
    elif by.random() < 0.5:
        weave = by.choice(list(WEAVES.values()))
        band["weave"] = weave.name
        band.pop("blocks", None)
        band["colours"] = [by.choice(list(REED_COLOURS))]
    for key, pool, sound, chance in (
        ("groups", (1, 2, 3, 4), (1, 2), 0.1), ("strands", (1, 2, 3), (1, 2), 0.1),
        ("start", COUNTS, (1, 2, 3, 5, 7), 0.1), ("length", LENGTHS, LONG, 0.1),
        ("reed", tuple(REEDS), tuple(REEDS), 0.2),
        ("add", (2, 4, 7, 8, 30), (4, 8) if i else (), 0.05), ("reverse", (True, "alternate"), (True,), 0.05),
    ):  # fmt: skip
        if by.random() < chance and (pool if wild else sound):
            band[key] = by.choice(pool if wild else sound)
    if not wild and ("rod" not in band.get("weave", "") or "reverse" not in band):
        band.pop("reverse", None)
    if "rows" in band and by.random() < 0.2:
        band["rows"] = by.choice((1, 2, 60, 150, 400) if wild else (1, 2, 12, 40, 60, 110))


def _free(band: dict, by: random.Random, wild: bool) -> None:
    """A weave that is in no table: any cycle of over and under, any number of weavers."""
    for key in ("weave", "blocks"):
        band.pop(key, None)
    most = 60 if wild else 6
    if by.random() < 0.5:
        band |= {"over": by.randint(1, most), "under": by.randint(1, most)}
    else:
        band["cycle"] = [by.randint(1, 4) for _ in range(2 * by.choice((2, 3, 4, 8, 20) if wild else (2, 3)))]
    band["weavers"] = by.choice((1, 2, 3, 5, 12, 24) if wild else (1, 2, 3, 4))
    band["colours"] = [by.choice(list(REED_COLOURS))]
    if wild and by.random() < 0.3:
        band["turns"] = by.choice(("stroke", "round", "back"))


def _odd_handle(tables: dict, by: random.Random, wild: bool) -> None:
    reeds, kind = list(REEDS), by.choice(list(HANDLES))
    tables["handle"] = [{"kind": kind, "core": by.choice(reeds), "wrap": by.choice(reeds)}]
    if by.random() < 0.5:
        key = by.choice(("across", "height", "depth", "turn") if wild else ("height",))
        tables["handle"][0][key] = by.choice(LENGTHS if wild else SITTING)


# Written down --------------------------------------------------------------------------------------------------


def dumped(tables: dict) -> str:
    """TOML of any tables, one key a line, all else inline."""
    return "".join(f"{_key(key)} = {_value(value)}\n" for key, value in tables.items())


def _key(key: str) -> str:
    return _value(str(key))


def _value(value) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return "nan" if math.isnan(value) else ("inf" if value > 0 else "-inf") if math.isinf(value) else repr(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(key)} = {_value(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_value(inner) for inner in value) + "]"
    signs = []
    for sign in str(value):
        signs.append(f"\\u{ord(sign):04x}" if ord(sign) < 32 or sign in '"\\\x7f' else sign)
    return '"' + "".join(signs) + '"'
