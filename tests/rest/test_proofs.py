"""The table of proofs: its expectations are worked out a second way, and what it says of slype holds."""

import json
import math

import numpy as np
import pytest
import scipy
from handbook_figures import table

from slype.cli.commands import main
from slype.report import printed as printing
from slype.report import tables
from slype.rest import proofs
from slype.rest.proofs import Proof
from slype.rods import cases
from slype.sources import SOURCES

PRINTED = 1e-5  # relative, of the five or six digits of the tables
SEEN = {  # the rows that are off, each with a note in the table; a new one must be looked at
    ("randing, 25 ends", "height per row over thickness", "prototype"),
    ("pairing, 24 ends", "height per row over thickness", "prototype"),
    ("three-rod wale, 24 ends", "length of a row over the ring", "prototype"),
    ("three-rod wale, 24 ends", "height per row over thickness", "prototype"),
    ("four-rod wale, 24 ends", "height per row over thickness", "prototype"),
}


def free_length(ratio):
    """(crimp, tightest bend x spacing) of the rectangular elastica by another integrator and root finder."""

    def over(of, steepest):
        # The root's infinity at the start goes into quad's algebraic weight.
        def smooth(a):
            return of(a) * (math.sqrt(a / math.sin(a)) if a else 1.0)

        return scipy.integrate.quad(smooth, 0, steepest, weight="alg", wvar=(-0.5, 0), epsabs=1e-13)[0]

    def rise(steepest):
        across = over(lambda a: math.sin(steepest - a), steepest)
        return across / over(lambda a: math.cos(steepest - a), steepest) - ratio

    steepest = scipy.optimize.brentq(rise, 1e-3, 0.95, xtol=1e-14)
    along = over(lambda a: math.cos(steepest - a), steepest)
    return over(lambda a: 1.0, steepest) / along - 1, 2 * along * math.sqrt(math.sin(steepest))


@pytest.mark.parametrize("row", table("crimp_free_length.csv"), ids=lambda row: row["d_over_p"])
def test_the_free_weaver_is_the_rectangular_elastica(row):
    ratio = float(row["d_over_p"])
    crimp, bend = cases.free_weaver(ratio)
    assert (crimp, bend) == pytest.approx(free_length(ratio), rel=1e-9)
    assert crimp * 100 == pytest.approx(float(row["crimp_percent"]), rel=PRINTED)
    assert bend == pytest.approx(float(row["peak_curvature_p"]), rel=PRINTED)


def test_the_cantilevers_are_those_of_the_raw_table():
    raw = {float(row["load"]): (float(row["w"]), float(row["u"])) for row in table("cantilever_bisshopp.csv")}
    assert len(proofs.CANTILEVER) == 3
    assert all(raw[load] == (drop, shortening) for load, drop, shortening, _ in proofs.CANTILEVER)


def test_the_prototypes_figures_are_those_of_the_raw_table():
    raw = {
        row["weave"]: (int(row["spokes"]), float(row["take_up"]), float(row["relaxed_d"]))
        for row in table("prototype_rods.csv")
    }
    assert {weave: figures[:3] for weave, figures in proofs.PROTOTYPE.items()} == raw


def test_hertz_dents_as_worked_separately():
    # 5 N between crossed rods of 3 mm at 2 GPa, worked out beside the formula's own steps (a = 0.1723407 mm).
    assert cases.hertz_dent(5, 2000, 1.5) == pytest.approx(0.01980089, rel=1e-6)


@pytest.mark.parametrize("part", ["springy weaver", "taut weaver", "cantilever", "beams", "stations"])
def test_rods_agree_with_the_outside(part):
    rows = list(proofs.PARTS[part](part))
    assert len(rows) >= 4
    assert [(row.what, row.error, row.tolerance) for row in rows if not row.within] == []


def test_walls_disagree_only_where_it_is_known_why():
    rows = list(proofs.walls("walls"))
    assert len(rows) > 30
    assert {(row.part, row.what, row.source) for row in rows if not row.within} == SEEN
    assert all(row.note for row in rows if not row.within)
    assert {row.source for row in rows} <= set(SOURCES)


def test_rows_sink_where_only_stations_are_looked_at():
    on_few, between = (proofs._pressed(8, between=looked) for looked in (False, True))
    assert on_few < 1.88 < 1.93 < between < 2.05


@pytest.mark.parametrize(
    ("bound", "found", "within"),
    [("near", 1.02, False), ("near", 0.98, False), ("near", 1.005, True), ("at least", 5.0, True),
     ("at least", 0.98, False), ("at most", 0.1, True), ("at most", 1.02, False), ("near", math.nan, False)],
)  # fmt: skip
def test_a_row_is_within_or_not(bound, found, within):
    row = Proof("part", "what", "derived", 1.0, found, "", 0.01, "reason", bound)
    assert row.within is within


def test_the_command_prints_every_row(monkeypatch, capsys):
    rows = [
        Proof("beams", "sag", "beams", 2.0, 2.5, "mm", 0.01, "by hand", note="we believe the book"),
        Proof("walls", "overlap", "derived", 0.0, np.float64(0.5), "%", 2.0, "thin", "at most"),
    ]
    monkeypatch.setattr(proofs, "PARTS", {"one": lambda part: iter(rows)})
    assert main(["evidence", "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert [(row["what"], row["within"], row["error"]) for row in printed] == [
        ("sag", False, 0.25),
        ("overlap", True, 0.5),
    ]
    assert main(["evidence"]) == 0
    shown = capsys.readouterr().out
    assert "2 comparisons, worked out just now: 1 within what is allowed, 1 not" in shown
    assert "+25.00%" in shown and "we believe the book" in shown
    assert printing.text(tables.proofs(rows), 100).count("off") >= 1


NOT_OFF = [(0.999999, "+0.00%"), (1.000001, "+0.00%"), (0.98, "-2.00%"), (1.02, "+2.00%")]


@pytest.mark.parametrize(("found", "told"), NOT_OFF)
def test_what_is_not_off_at_all_is_not_told_as_less_than_nothing(found, told):
    row = Proof("beams", "apart", "derived", 1.0, found, "", 0.1, "straight pieces")
    assert tables._share(row, row.error, "+") == told
