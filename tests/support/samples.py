"""Baskets and parts of them that several tests try, as text of a design file."""

BOW = '[[handle]]\nkind = "bow"\ncore = "round 8"\nwrap = "round 3"'
ROPE = '[[handle]]\nkind = "rope"\nwrap = "round 4"'
ROPED = '[[handle]]\nkind = "rope"\ncore = "round 8"\nwrap = "round 3"'
SIDE = '[[handle]]\nkind = "side"\ncore = "round 6"\ncolour = "rust"'
SIDE_ROPE = '[[handle]]\nkind = "side rope"\nwrap = "round 4"\nrods = 3\ncolour = "rust"'
HANDLES = {"bow": BOW, "rope": ROPE, "rope over a core": ROPED, "side": SIDE, "side rope": SIDE_ROPE}
HIGH = dict(rows=34, wall=[["0 in", "6 in"], ["6 in", "8 in"]])  # deep enough for every handle's feet

WOVEN = """spokes = { reed = "round 4", ends = 24 }
border = ["behind 1 out", "over 2 down"]
"""
PAIRED = "{ weave = 'pairing', reed = 'round 2' }"
FLAT = f"band = [{PAIRED[:-2]}, groups = 6, rows = 3 }}, {PAIRED[:-2]}, colours = ['rust'] }}]\n"
SIDED = f"band = [{PAIRED}, {{ where = 'side', weave = 'three-rod wale', reed = 'round 2', rows = 6 }}]\n"
LIDS = {
    "on": "[lid]\nseat = 'on'\n" + WOVEN + FLAT,
    "inside": "[lid]\nseat = 'inside'\n" + WOVEN + FLAT,
    "over": "[lid]\nseat = 'over'\ndepth = '1 in'\n" + WOVEN + SIDED,
}
FOOT = '[foot]\nborder = "foot border"\nrows = 2\ncolours = ["rust"]'
FLARED = dict(rows=26, wall=[["0 in", "6 in"], ["4 in", "8 in"]])

BOARD = """
[base]
kind = "board"
foot = "foot of two rows"
[form]
base = "10 in"
wall = [["0 in", "8 3/4 in"], ["2 in", "9 in"]]
[spokes]
reed = "round 4"
ends = 39
[[band]]
weave = "three-rod wale"
reed = "round 3"
until = "top"
[border]
kind = "three-rod plain"
"""
OVAL_BOARD = BOARD.replace('base = "10 in"', 'outline = "oval"\nbase = ["16 in", "11 in"]').replace(
    '[["0 in", "8 3/4 in"], ["2 in", "9 in"]]', '[["0 in", "15 in", "10 in"], ["2 in", "15 in", "10 in"]]'
)


def grouped(reed: str, wall: str, then: str = "pairing") -> str:
    """A basket as far as its base: 24 ends, paired over six groups and then singly, by the weave `then`."""
    return f"""version = 1
[spokes]
reed = "{reed}"
ends = 24
[form]
base = "6 in"
wall = {wall}
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 6
rows = 3
[[band]]
where = "base"
weave = "{then}"
reed = "round 2"
until = "6 in"
"""


def pot_text(title: str = "Pot") -> str:
    """A small basket, quick to work."""
    return (
        f'[basket]\ntitle = "{title}"\n[spokes]\nreed = "round 5"\nends = 24\n[form]\nbase = "6 in"\n'
        'wall = [["0 in", "6 in"], ["3 in", "8 in"]]\n[[band]]\nweave = "three-rod wale"\nreed = "round 2"\nrows = 6\n'
        '[border]\nrows = ["behind 1 out", "over 2 down"]\n'
    )


def bright_text() -> str:
    """The same with two bands on its wall, rust and sand below, slate above."""
    bands = (("rust", "rust", "sand"), ("slate", "slate", "natural"))
    woven = "".join(
        f'[[band]]\nweave = "three-rod wale"\nreed = "round 3"\ncolours = {list(each)}\nrows = 4\n' for each in bands
    )
    head, _, rest = pot_text("Bright").partition("[[band]]")
    return head + woven + rest[rest.index("[border]") :]


MANY_ON_A_BASE = """version = 1
[spokes]
reed = "round 4"
ends = 32
[form]
base = "8 in"
wall = [["0 in", "8 in"], ["3 in", "9 in"]]
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 4
rows = 3
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 2
rows = 4
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
until = "8 in"
[[band]]
weave = "three-rod wale"
reed = "round 3"
until = "top"
[border]
rows = ["behind 1 out", "over 2 down"]
"""
