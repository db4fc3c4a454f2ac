"""The order of work as tests ask of it: a band's moments, a basket's solid, every reed that is fitted to it."""

from __future__ import annotations

import numpy as np

from slype.draw.solid import solid, unpacked
from slype.order.kinds import ACTS
from slype.order.moments import moments
from slype.space.assembly import attachments, whole


def of_solid(laid, curves=None):
    """(order, header, points, times) of a basket's solid."""
    order = moments(laid)
    return order, *unpacked(solid(laid, curves, order=order))


def with_everything(laid, order):
    """Every reed that is fitted to a basket, in its times."""
    return attachments(laid, [each for each in whole(laid) if each.role == "border"], order=order)


STROKE = ACTS.index("stroke")


def moments_of(order, band):
    return np.flatnonzero((order.act == STROKE) & (order.band == band))
