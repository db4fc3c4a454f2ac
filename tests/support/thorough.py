"""Products of things that the code keeps apart, as views and baskets: each of each once, or all of them with all.

`python3 run.py test thorough` tries the whole products.
"""

from __future__ import annotations

import itertools
import os

ASKED = "SLYPE_TESTS_THOROUGH"


def each_once(*dimensions) -> list[tuple]:
    """Rows with a value of every dimension: every value stands in one at least; every row there is, where asked."""
    every = [list(values) for values in dimensions]
    if os.environ.get(ASKED):
        return list(itertools.product(*every))
    return [tuple(values[at % len(values)] for values in every) for at in range(max(map(len, every)))]
