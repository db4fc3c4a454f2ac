"""What is remembered between two looks at a basket cannot be spoilt by whoever was handed it."""

import numpy as np
import pytest
from strategies import basket

from slype.advice.spacing import spacings
from slype.borders.table import BORDERS
from slype.borders.work import layers, work
from slype.lay.laying import lay
from slype.lay.pitch import settled, short_trace
from slype.lay.stacks import starts
from slype.surface.runs import start_runs
from slype.weave.table import WEAVES

LAID = lay(basket(ends=24, weave="three-rod wale", rows=4))


def arrays_in(value):
    found = vars(value).values() if hasattr(value, "__dict__") else value
    return [each for each in found if isinstance(each, np.ndarray) and each.size]


@pytest.mark.parametrize(
    "value",
    [
        LAID.side[0].traces()[0][1],
        LAID.side[0].traces()[0][1].sites,
        short_trace(WEAVES["pairing"], 24),
        settled(short_trace(WEAVES["pairing"], 24), 2.0)[0],
        settled(short_trace(WEAVES["pairing"], 24), 2.0)[1:],
        [each for start in starts(LAID, "side") for each in (start.passage, start.u, start.height)],
        [each for runs in start_runs(LAID, "side") for each in (runs.s, runs.n, runs.weavers)],
    ],
    ids=["trace", "sites", "short trace", "stack", "heights", "starts", "runs"],
)
def test_nobody_writes_into_a_remembered_array(value):
    found = arrays_in(value)
    assert found
    for each in found:
        with pytest.raises(ValueError, match="read-only"):
            each.flat[0] = 1


def test_nobody_writes_into_a_remembered_table():
    border = next(iter(BORDERS.values())).border
    for table in (spacings(LAID), layers(border), work(border, 24).finishes):
        with pytest.raises(TypeError):
            table["spoilt"] = 1
