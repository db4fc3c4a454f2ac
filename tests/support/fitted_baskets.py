"""Baskets with a handle, a lid or a board, for tests of what is fitted to them in space."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import scipy
from strategies import basket, basket_text

from slype.design.file.reader import parse
from slype.lay.attachments import lay_handles
from slype.lay.laying import lay
from slype.plans import planning
from slype.space.assembly import whole
from slype.space.plank import plank

HIGH = dict(rows=34, wall=[["0 in", "6 in"], ["6 in", "8 in"]])


HANDLES = {
    "bow": 'kind = "bow"\ncore = "round 8"\nwrap = "round 3"',
    "bow, bare": 'kind = "bow"\ncore = "round 6"',
    "bow of three cores": 'kind = "bow"\ncore = "round 6"\ncores = 3\nwrap = "round 3"\nstrands = 2',
    "bow of two, low": 'kind = "bow"\ncore = "round 6"\ncores = 2\nwrap = "round 2"\nheight = "2 in"',
    "two bows": 'kind = "bow"\ncore = "round 6"\ncount = 2',
    "rope": 'kind = "rope"\nwrap = "round 4"',
    "rope of six": 'kind = "rope"\nwrap = "round 3"\nrods = 6',
    "rope over a core": 'kind = "rope"\ncore = "round 8"\nwrap = "round 3"',
    "side": 'kind = "side"\ncore = "round 6"\nwrap = "round 2"',
}


BESIDE_MM = 0.1


HAIR_MM = 0.05


@lru_cache(maxsize=32)
def _in_space(text):
    """(a design laid out, all its reeds), worked once for all tests of a worker."""
    laid = lay(parse(text))
    return laid, whole(laid)


def with_handle(name, **changes):
    laid, reeds = _in_space(basket_text(tail=f"[[handle]]\n{HANDLES[name]}\n", **{**HIGH, **changes}))
    return laid, lay_handles(laid)[0], {tube.name: tube for tube in reeds}


def length(tube):
    return float(np.linalg.norm(np.diff(tube.points, axis=0), axis=1).sum())


def skin(one, other):
    """mm from skin to skin where two reeds come nearest; below 0 they lie in each other."""
    apart = scipy.spatial.cKDTree(other.points).query(one.points)[0].min()
    return float(apart) - (one.thick_mm + other.thick_mm) / 2


def least_skin(some, others):
    """The least of `skin` between any of `some` and any of `others`: reeds of one thickness are looked through at
    once."""

    def by_thickness(tubes):
        thick = {tube.thick_mm for tube in tubes}
        return {each: np.concatenate([tube.points for tube in tubes if tube.thick_mm == each]) for each in thick}

    there = {thick: scipy.spatial.cKDTree(points) for thick, points in by_thickness(others).items()}
    return min(
        float(tree.query(points)[0].min()) - (here + thick) / 2
        for here, points in by_thickness(some).items() for thick, tree in there.items()
    )  # fmt: skip


def border_top(laid):
    return float(laid.design.form.height(laid.top_s)) + laid.border_height_mm


WOVEN = 'spokes = { reed = "round 4", ends = 24 }\nborder = ["behind 1 out", "over 2 down"]\n'


PAIRED = '{ weave = "pairing", reed = "round 2", colours = ["rust"] }'


FIRST = '{ weave = "pairing", reed = "round 2", groups = 6, rows = 3 }'


LIDS = {
    "on": f'[lid]\nseat = "on"\n{WOVEN}band = [{FIRST}, {PAIRED}]\n',
    "inside": f'[lid]\nseat = "inside"\n{WOVEN}band = [{FIRST}, {PAIRED}]\n',
    "over": f'[lid]\nseat = "over"\ndepth = "1 in"\n{WOVEN}band = [{FIRST}, {PAIRED}, '
    '{ where = "side", weave = "three-rod wale", reed = "round 2", rows = 6 }]\n',
}


FLARED = dict(rows=26, wall=[["0 in", "6 in"], ["4 in", "8 in"]])


def with_lid(seat, **changes):
    laid, all_reeds = _in_space(basket_text(**{**FLARED, "tail": LIDS[seat], **changes}))
    of_lid = [tube for tube in all_reeds if tube.name.startswith("lid, ")]
    return laid, [tube for tube in all_reeds if tube not in of_lid], of_lid


BOARD = '[base]\nkind = "board"\nfoot = ["behind 1 out", "over 1 down"]\n'


BOARDS = {
    "round": dict(ends=29, base="7 in", wall=[["0 in", "6 1/4 in"], ["3 in", "7 in"]]),
    "oval": dict(
        ends=30, base=["9 in", "6 in"], wall=[["0 in", "8 1/4 in", "5 1/4 in"], ["3 in", "9 in", "6 in"]],
        before='outline = "oval"',
    ),
    "rectangle": dict(
        ends=34, base=["9 in", "6 in"], wall=[["0 in", "8 1/4 in", "5 1/4 in"], ["3 in", "9 in", "6 in"]],
        before='outline = "rectangle"\ncorner = "1 1/2 in"',
    ),
}  # fmt: skip


def on_board(shape, **changes):
    plan = planning.plan(basket(tail=BOARD, **{**BOARDS[shape], **changes}))
    return plan, plank(plan.laid), {tube.name: tube for tube in whole(plan.laid)}
