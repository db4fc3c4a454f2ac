"""One rod bent by slype and by PyElastica, a library of Cosserat rods that steps through time: the same shape.

PyElastica (Gazzola and others 2018, MIT) integrates motion; damped until it is still, what remains is the bent rod. It
was asked once (`tests/support/cosserat.py`), as its loops take longer to compile than all of slype's.
"""

import pytest
from handbook_figures import table

from slype.rods import cases

PIECES = 20
STILL = 1e-4  # largest speed, in lengths per unit of time, at which it counts as at rest
HALF_A_PERCENT = 0.005  # both have 20 straight pieces; PyElastica also stretches and shears


@pytest.mark.parametrize("row", table("cantilever_pyelastica.csv"), ids=lambda row: f"load {row['load']}")
def test_a_cantilever_bends_the_same_in_both(row):
    load, along, across, angle, speed = (float(row[key]) for key in ("load", "along", "across", "angle", "speed"))
    assert speed < STILL, "PyElastica has not come to rest"
    bent = cases.cantilever_of_length(load, 1 - along, PIECES)
    assert bent.drop == pytest.approx(across, rel=HALF_A_PERCENT)
    assert bent.angle == pytest.approx(angle, rel=HALF_A_PERCENT)
