"""Every example, read and laid; and a basket for each thing that is fitted."""

from __future__ import annotations

import pytest
from places import EXAMPLE_NAMES, EXAMPLES
from samples import FLARED, FOOT, HANDLES, HIGH, LIDS
from strategies import basket

from slype.design.file.reader import load
from slype.lay.laying import lay


@pytest.fixture(params=EXAMPLE_NAMES)
def design(request):
    return load(EXAMPLES / f"{request.param}.toml")


@pytest.fixture
def laid(design):
    return lay(design)


FITTED = {
    "a foot": dict(tail=FOOT, **HIGH),
    **{f"a handle: {name}": dict(tail=tail, **HIGH) for name, tail in HANDLES.items()},
    **{f"a lid: {name}": dict(tail=tail, **FLARED) for name, tail in LIDS.items()},
}


@pytest.fixture(params=FITTED)
def finished(request):
    return lay(basket(**FITTED[request.param]))
