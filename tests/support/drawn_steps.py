"""Every drawing of the work of some baskets, and what is written on it."""

import functools
import re
from dataclasses import replace
from itertools import product

import numpy as np
from samples import OVAL_BOARD
from worked import figured, once, planned_as, taught

from slype.design.file import reader
from slype.figures.flat.marks import INK
from slype.paper.handout import wide_mm
from slype.plans import planning

ALL = sorted(product(("posy", "quayside", "estuary", "saltmarsh", "tray"), ("right", "left")))
HEAD = re.compile(r'<path d="M(\S+) (\S+?)L(\S+) (\S+?)L(\S+) (\S+?)Z" fill="#1d1712" stroke="#ffffff"')
PATCH = re.compile(r'<rect x="(-?[\d.]+)" y="(-?[\d.]+)" width="([\d.]+)" height="([\d.]+)"[^>]*/><text[^>]*>([^<]*)<')
RING = re.compile(r'<circle cx="(-?[\d.]+)" cy="(-?[\d.]+)" r="([\d.]+)"[^>]*/><text[^>]*>(\d+)<')
LEAD = re.compile(rf'<path d="M(\S+) (\S+?)L(\S+) (\S+?)" stroke="{INK}" stroke-width="')


@functools.cache
def drawn(name, hand):
    """(plan, [(step, drawing, SVG, one mm on paper)]) of all drawings of the work."""
    plan = planning.plan(replace(reader.parse(OVAL_BOARD), hand=hand)) if name == "tray" else planned_as(name, hand)
    figures = figured(plan)
    every = [(step, asked, wide) for step in taught(plan) if not step.of
             for asked, wide in zip(step.drawings, wide_mm(step, not plan.design.form.is_round), strict=True)
             if asked.kind in ("near", "inside", "whole", "above")]  # fmt: skip
    made = once(f"drawings {name} {hand}", lambda: [figures.svg(*each) for each in every])
    out = [(step, asked, svg, float(re.search(r'viewBox="\S+ \S+ (\S+)', svg)[1]) / wide)
           for (step, asked, wide), svg in zip(every, made, strict=True)]  # fmt: skip
    return plan, figures.making.order, out


def rings(svg):
    return {int(number): tuple(map(float, each)) for *each, number in RING.findall(svg)}


def covered(at, svg):
    """What is written upon a point."""
    x, y = at
    patches = [text for a, b, wide, high, text in PATCH.findall(svg)
               if 0 < x - float(a) < float(wide) and 0 < y - float(b) < float(high)]  # fmt: skip
    return patches + [n for n, (a, b, r) in rings(svg).items() if np.hypot(x - a, y - b) < r]
