"""What random baskets are made of: strategies shared by the property tests."""

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
