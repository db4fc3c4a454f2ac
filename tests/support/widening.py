"""Walls that widen so far that ends are added on the way up."""

from strategies import basket

WIDENING = [["0 in", "6 in"], ["4 in", "12 in"]]
MORE = '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = {add}\nrows = 6\n'


def widening(add=24, **changes):
    """A wall of six to twelve inches on 24 ends, and more of them from its second band on."""
    return basket(**{"ends": 24, "wall": WIDENING, "after": MORE.format(add=add), **changes})
