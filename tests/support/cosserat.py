"""One rod bent by PyElastica, a library of Cosserat rods; only to be imported where it is installed.

`python tests/support/cosserat.py` bends it anew and writes `tests/authorities/cantilever_pyelastica.csv`, with which
the tests compare slype's: its loops take half a minute to compile, and give the same every time.
"""

import csv
import math
import sys
from importlib.metadata import version
from pathlib import Path

import elastica
import numpy as np

ELEMENTS = 20
RADIUS = 0.03  # of a length of 1: thin enough that stretch and shear do not show (below 1e-3)


class Bench(elastica.BaseSystemCollection, elastica.Constraints, elastica.Forcing, elastica.Damping):
    """What holds one rod, its clamp, its load and its damping."""


def bent_by_pyelastica(load):
    """(tip (along, across), angle, speed) of a cantilever of length 1 and bending stiffness 1 at rest."""
    modulus = 1 / (math.pi / 4 * RADIUS**4)
    density = 1 / (math.pi * RADIUS**2)
    # A fixed first element is the clamp; the rod bends from its middle, as slype's does.
    length = 1 / (1 - 0.5 / ELEMENTS)
    rod = elastica.CosseratRod.straight_rod(
        ELEMENTS, np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), length, RADIUS, density,
        youngs_modulus=modulus, shear_modulus=modulus / 1.5,
    )  # fmt: skip
    bench = Bench()
    bench.append(rod)
    bench.constrain(rod).using(elastica.OneEndFixedBC, constrained_position_idx=(0,), constrained_director_idx=(0,))
    bench.add_forcing_to(rod).using(elastica.EndpointForces, np.zeros(3), np.array([0, load, 0]), ramp_up_time=1e-3)
    step = 0.5 * length / ELEMENTS / math.sqrt(modulus / density)
    bench.dampen(rod).using(elastica.AnalyticalLinearDamper, uniform_damping_constant=4.0, time_step=step)
    bench.finalize()
    elastica.integrate(elastica.PositionVerlet(), bench, 6.0, int(6.0 / step), progress_bar=False)
    at = rod.position_collection
    along, across = at[0, -1] - length / ELEMENTS / 2, at[1, -1]
    angle = math.atan2(at[1, -1] - at[1, -2], at[0, -1] - at[0, -2])
    return float(along), float(across), angle, float(np.abs(rod.velocity_collection).max())


HEAD = f"""\
# A cantilever of length 1 and bending stiffness 1 with a dead load across its end: where the tip comes to rest along
# and across the rod, the angle of its last piece, and the greatest speed that is left.
# Source: PyElastica {version("pyelastica")} (M. Gazzola and others 2018, MIT), {ELEMENTS} pieces, damped for 6 units
# of time; written by tests/support/cosserat.py.
"""


def main() -> None:
    path = Path(__file__).parents[1] / "authorities" / "cantilever_pyelastica.csv"
    rows = [(load, *bent_by_pyelastica(load)) for load in (1.0, 2.0)]
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(HEAD)
        lines = csv.writer(file, lineterminator="\n")
        lines.writerow(["load", "along", "across", "angle", "speed"])
        lines.writerows([load, *(f"{each:.8g}" for each in found)] for load, *found in rows)
    sys.stdout.write(path.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
