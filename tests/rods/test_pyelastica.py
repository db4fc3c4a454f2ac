"""One rod bent by slype and by PyElastica, a library of Cosserat rods that steps through time: the same shape.

PyElastica (Gazzola and others 2018, MIT) integrates motion; damped until it is still, what remains is the bent rod.
"""

import pytest

from slype.rods import cases

# Its 1.0.0 is used where installed; nothing in slype needs it.
pytest.importorskip("elastica", reason="PyElastica is not installed")

STILL = 1e-4  # largest speed, in lengths per unit of time, at which it counts as at rest
HALF_A_PERCENT = 0.005  # both have 20 straight pieces; PyElastica also stretches and shears


@pytest.mark.parametrize("load", [1.0, 2.0])
def test_a_cantilever_bends_the_same_in_both(load):
    from cosserat import ELEMENTS, bent_by_pyelastica

    along, across, angle, speed = bent_by_pyelastica(load)
    assert speed < STILL, "PyElastica has not come to rest"
    bent = cases.cantilever_of_length(load, 1 - along, ELEMENTS)
    assert bent.drop == pytest.approx(across, rel=HALF_A_PERCENT)
    assert bent.angle == pytest.approx(angle, rel=HALF_A_PERCENT)
