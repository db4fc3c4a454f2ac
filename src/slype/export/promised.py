"""The promised JSON forms of a chart, of a band's results, of a weave on many counts, of the order of work, and of the
comparisons with outside authorities. Documented in docs/json.md."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from ..advice.results import Option
from ..design.values import Design
from ..lay.chart import faces
from ..lay.values import Laid
from ..order.kinds import ACTS, Moments
from ..plans.planning import Plan
from ..tell.moments import moments_of_joins, title_of_part
from ..weave.counts import CountLine
from ..weave.effects import Effect
from ..weave.reasons import reason

if TYPE_CHECKING:  # the compiled loops behind it are slow to load
    from ..rest.proofs import Proof


def chart_json(laid: Laid) -> dict[str, Any]:
    """The promised JSON form of the chart. Documented in docs/json.md."""
    both = [faces(laid, band) for band in laid.bands]
    return {
        "hand": laid.design.hand,
        "outside": [{"band": band.index, "rows": face[0]} for band, face in zip(laid.bands, both, strict=True)],
        "inside": [{"band": band.index, "rows": face[1]} for band, face in zip(laid.bands, both, strict=True)],
        "effects": [
            {
                "band": band.index,
                **_effect(band.effect, laid.design.hand, False),
                "why": reason(band.band.weave, band.ends, band.spaces, band.effect, len(band.band.colours)),
                "inside": _effect(band.effect_inside, laid.design.hand, True),
            }
            for band in laid.bands
        ],
    }


def _effect(effect: Effect, hand: str, inside: bool) -> dict[str, object]:
    return {
        "effect": effect.effect,
        "shift_per_row": effect.shift_per_row,
        "period": effect.period,
        "words": effect.words(hand, inside),
    }


def results_json(options: tuple[Option, ...], lines: list[str], pictures: list[str]) -> list[dict[str, Any]]:
    """The promised form, with the words and the picture of each. Documented in docs/json.md."""
    return [
        {
            "ends": option.ends,
            "colours": list(option.colours),
            "start": option.start,
            "effect": option.effect.effect,
            "words": option.words,
            "holds": option.holds,
            "why": option.why,
            "spoils": option.spoils or None,
            "current": option.is_current,
            "changes": list(option.changes),
            "told": line,
            "picture": picture,
        }
        for option, line, picture in zip(options, lines, pictures, strict=True)
    ]


def counts_json(lines: list[CountLine], hand: str = "right") -> list[dict[str, object]]:
    """The promised form of `slype effects --json`. Documented in docs/json.md."""
    return [
        {
            "ends": line.ends,
            "colours": list(line.colours),
            "holds": line.holds,
            "outside": _face(line.outside, hand, False),
            "inside": _face(line.inside, hand, True),
            "why": line.why,
        }
        for line in lines
    ]


def _face(effect: Effect | None, hand: str, inside: bool) -> dict[str, object] | None:
    if effect is None:
        return None
    return {
        "effect": effect.effect,
        "words": effect.words(hand, inside),
        "shift_per_row": effect.shift_per_row,
        "period": effect.period,
    }


def proofs_json(rows: list[Proof]) -> list[dict[str, object]]:
    """The rows in their promised form: all fields, `error` and `within`."""
    return [{**asdict(row), "error": row.error, "within": row.within} for row in rows]


def moments_json(of: Plan | Design, laid: Laid, order: Moments) -> dict[str, Any]:
    """The promised form of the whole order of work. Documented in docs/json.md."""
    design, joins = (of.design, of.all_joins) if isinstance(of, Plan) else (of, [])

    from_zero = "act part of band block weaver row stroke strokes over under spaces colour".split()
    return {
        "moments": len(order),
        "hand": design.hand,
        "acts": list(ACTS),
        "parts": [
            {
                "part": part.key,
                "of": part.of,
                "band": part.band,
                "title": title_of_part(design, laid, order, part),
                "first": part.first + 1,
                "last": part.beyond,
            }
            for part in order.parts
        ],
        "colours": [list(colours) for colours in order.colours],
        "sticks": [[end + 1 for end in ends] for ends in order.stick_ends],
        **{name: getattr(order, name).tolist() for name in from_zero},
        "space": np.where(order.space >= 0, order.space + 1, 0).tolist(),
        "end": np.where(order.end >= 0, order.end + 1, 0).tolist(),
        "border": {
            str(moment + 1): [(p.spoke + 1) * (1 if p.outside else -1) for p in passes]
            for moment, passes in order.passes.items()
        },
        "joins": sorted(moment + 1 for moment in moments_of_joins(order, joins)),
    }
