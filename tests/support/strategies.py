"""What random baskets are made of: strategies shared by the property tests."""

import random

import tomlkit
from hypothesis import strategies as st

from slype.design.file.reader import parse
from slype.weave.table import EVERY_END, WEAVES, free_weave

named_weaves = st.sampled_from(sorted(WEAVES)).map(WEAVES.get)
stroke_weaves = st.sampled_from(sorted(name for name, weave in WEAVES.items() if weave.turns == "stroke")).map(
    WEAVES.get
)
starts = st.integers(0, 200)
over_under = st.tuples(st.integers(1, 4), st.integers(1, 4))


@st.composite
def turn_taking(draw):
    """A weave of one over and one under whose K = over + under weavers take turns, either way round."""
    over, under = draw(over_under)
    reverse = draw(st.sampled_from([(False,), (True,)]))
    return free_weave(((over, under),), over + under, "stroke", reverse)


@st.composite
def any_weave(draw):
    """A weave of the table, or a free one."""
    if draw(st.booleans()):
        return draw(named_weaves)
    cycle = tuple(draw(st.lists(over_under, min_size=1, max_size=3)))
    reach = sum(over + under for over, under in cycle)
    turns = draw(st.sampled_from(["stroke", "round"]))
    weavers = draw(st.integers(1, reach if turns == "stroke" else 4))
    return free_weave(cycle, weavers, turns)


@st.composite
def weave_and_ends(draw, weaves=None, most=40):
    """(weave, ends) that can be worked."""
    weave = draw(any_weave() if weaves is None else weaves)
    least = max(3, weave.reach + 1, 0 if weave.weavers == EVERY_END else weave.weavers)
    return weave, draw(st.integers(least, max(most, least)))


border_rows = st.builds(
    lambda legs, finish: (" ".join(f"{face} {count}" for face, count in legs), finish),
    st.lists(st.tuples(st.sampled_from(["behind", "over"]), st.integers(1, 4)), min_size=1, max_size=2),
    st.sampled_from(["out", "in"]),
).map(" ".join)


@st.composite
def borders(draw):
    """Texts of a border's rows; the last may go down."""
    rows = draw(st.lists(border_rows, min_size=1, max_size=4))
    if draw(st.booleans()):
        rows[-1] = rows[-1].rsplit(" ", 1)[0] + " down"
    return rows


# A plain basket to change one thing of -------------------------------------------------------------------------


def basket_text(
    ends=24,
    weave=None,
    over=None,
    under=None,
    weavers=None,
    colours=("natural",),
    rows=6,
    base="6 in",
    wall=None,
    reed="round 3",
    spoke="round 5",
    border=("behind 1 out", "over 2 in"),
    kind=None,
    hand="right",
    basket="",
    spokes="",
    band="",
    before="",
    after="",
    tail="",
):
    """A small round basket as TOML: one side band, and room for more lines in every table."""
    wall = wall or [["0 in", base], ["4 in", base]]
    free = "".join(
        f"{key} = {value}\n" for key, value in (("over", over), ("under", under), ("weavers", weavers)) if value
    )
    named = f'weave = "{weave or "three-rod wale"}"\n' if weave or not free else ""
    how_far = f"rows = {rows}\n" if rows else ""
    return (
        f'[basket]\nhand = "{hand}"\n{basket}\n[spokes]\nreed = "{spoke}"\nends = {ends}\n{spokes}\n'
        f"[form]\nbase = {toml(base)}\nwall = {toml(wall)}\n{before}\n"
        f'[[band]]\nwhere = "side"\n{named}{free}reed = "{reed}"\ncolours = {toml(colours)}\n{how_far}{band}\n{after}\n'
        f"[border]\n{f'kind = {toml(kind)}' if kind else f'rows = {toml(border)}'}\n{tail}\n"
    )


def toml(value):
    """A list of texts, or of lists of them, as TOML."""
    return f'"{value}"' if isinstance(value, str) else "[" + ", ".join(toml(item) for item in value) + "]"


def basket(**changes):
    """`basket_text`, read."""
    return parse(basket_text(**changes))


# Whole baskets by chance ---------------------------------------------------------------------------------------

SIDE_WEAVES = (
    ("randing", 1), ("chasing", 2), ("pairing", 2), ("three-rod wale", 3), ("four-rod wale", 4), ("five-rod wale", 5),
    ("slewing", 1), ("twill randing", 1), ("French randing", 0), ("chain wale", 3),
)  # fmt: skip
COLOURS = ("natural", "rust", "slate", "sand", "moss", "copper")
BORDERS_BY_CHANCE = (
    ["behind 1 out", "over 2 in"], ["behind 1 out", "over 3 in", "over 2 down"], ["over 2 down"],
    ["behind 2 out", "over 2 in"],
)  # fmt: skip
BORDER_KINDS = ("three-rod plain", "two-rod plain", "four-rod plain")


def basket_by_chance(seed, fitted=0.2):
    """The text of a whole basket, not always one that can be woven: a maker's first try, made of any of the things
    that slype knows. The same seed is the same basket. `fitted` is the share that has handles, and that has a lid."""
    by = random.Random(seed)
    outline = by.choices(["round", "oval", "rectangle"], [8, 2, 1])[0]
    board = outline == "rectangle" or by.random() < 0.1
    tables = {"basket": {"hand": by.choice(["right", "left"]), "wording": by.choice(["us", "uk"])}}
    tables["basket"]["units"] = by.choice(["in", "in", "cm"])
    size = by.choice([3.5, 5, 6, 7, 8, 10, 12])
    wall = _wall_by_chance(by, size, outline)
    base = size + (1.25 if board else 0)
    across = [f"{base} in"] if outline == "round" else [f"{base * 1.5} in", f"{base} in"]
    tables["form"] = {"base": across[0] if outline == "round" else across, "wall": wall}
    if outline != "round":
        tables["form"]["outline"] = outline
    girth = size * (3.1416 if outline == "round" else 4.2)
    ends = max(5, round(girth / by.uniform(0.4, 1.1)))
    if outline == "oval" and not board:
        ends += ends % 2
    spokes = {"reed": by.choice(["round 3", "round 4", "round 5", "cane 8"]), "ends": ends}
    if not board and by.random() < 0.35:
        sticks = max(4, 2 * round(ends / by.choice([2, 2.5, 4, 5])))
        spokes |= {"inserted": True, "base_ends": sticks, "base_reed": by.choice(["round 5", "round 6"])}
    tables["spokes"] = spokes
    if board:
        tables["base"] = {"kind": "board", "foot": ["behind 1 out", "over 1 down"]}
    tables["band"] = [
        *([] if board or by.random() < 0.2 else _base_by_chance(by, size, outline)),
        *_side_by_chance(by, wall),
    ]
    tables["border"] = (
        {"kind": by.choice(BORDER_KINDS)} if by.random() < 0.3 else {"rows": by.choice(BORDERS_BY_CHANCE)}
    )
    _fitted_by_chance(by, tables, outline, board, fitted)
    return tomlkit.dumps(tables)


def _wall_by_chance(by, size, outline):
    high = by.choice([2, 3, 4, 6])
    points = [
        (0, 0),
        *([(high / 2, by.uniform(-0.15, 0.5))] if by.random() < 0.5 else []),
        (high, by.uniform(-0.2, 0.5)),
    ]
    start = by.choice([0, 0, 0, 0, 0.15])
    wide = [1.0] if outline == "round" else [1.5, 1.0]
    return [[f"{up} in", *(f"{size * each * (1 + start + more):.2f} in" for each in wide)] for up, more in points]


def _base_by_chance(by, size, outline):
    first = {"where": "base", "weave": "pairing", "reed": "round 2", "rows": by.randint(1, 4)}
    if outline == "round" and by.random() < 0.7:
        first["groups"] = by.choice([2, 3, 4, 5, 7, 8])
    last = {"where": "base", "weave": by.choice(["pairing", "pairing", "randing"]), "reed": "round 2"}
    last |= {"until": f"{size} in"} if by.random() < 0.7 else {"rows": by.randint(4, 14)}
    return [first, last]


def _side_by_chance(by, wall):
    bands = []
    for i in range(by.randint(1, 3)):
        weave, weavers = by.choice(SIDE_WEAVES)
        band = {
            "where": "side",
            "weave": weave,
            "reed": by.choice(["round 1", "round 2", "round 3", "round 4", "cane 5"]),
        }
        many = by.choice([1, weavers]) if weavers else by.choice([1, 2, 3])
        band["colours"] = [by.choice(COLOURS) for _ in range(many)]
        band["rows"] = by.choice([2, 4, 8, 15, 30])
        if weavers > 2 and by.random() < 0.3:
            band["blocks"] = {"rows": by.choice([2, 3, 4]), "shift": by.randint(1, 4)}
        if i and by.random() < 0.15:
            band["add"] = by.choice([4, 8, 12])
        if by.random() < 0.2:
            band["length"] = by.choice(["3 ft", "6 ft", "9 ft"])
        bands.append(band)
    if by.random() < 0.4:
        del bands[-1]["rows"]
        bands[-1]["until"] = "top"
    return bands


def _fitted_by_chance(by, tables, outline, board, share):
    if by.random() < share:
        kind = by.choice(["bow", "side"])
        tables["handle"] = [{"kind": kind, "core": by.choice(["round 4", "round 8"]), "wrap": "round 3"}]
        if by.random() < 0.4:
            tables["handle"][0]["depth"] = by.choice(["1 in", "2 in"])
    if outline == "round" and by.random() < share:
        tables["lid"] = {
            "seat": "on",
            "spokes": {"reed": "round 4", "ends": by.choice([16, 20, 24, 28, 32, 33, 41])},
            "band": [
                {"weave": "pairing", "reed": "round 2", "groups": by.choice([2, 3, 4, 6]), "rows": 3},
                {"weave": by.choice(["pairing", "randing"]), "reed": "round 2"},
            ],
            "border": ["behind 1 out", "over 2 down"],
        }
    if by.random() < 0.1:
        tables["bye_spokes"] = {"from": "base"}
    if not board and outline == "round" and by.random() < 0.1:
        tables["foot"] = {"border": "foot border"}
