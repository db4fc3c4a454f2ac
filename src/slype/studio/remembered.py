"""What a worker of the studio remembers: the plans of the last few texts, and where each basket's reeds came to rest.

The next answer starts from them: a change then costs only what it changes.
"""

from __future__ import annotations

import pickle
from collections import OrderedDict, deque
from collections.abc import Callable
from typing import TYPE_CHECKING

from ..design.file import reader
from ..design.values import Design
from ..errors import Unweavable
from ..make import baskets
from ..plans import planning
from ..plans.planning import Plan

if TYPE_CHECKING:
    from ..rest.relax import AtRest

Progress = Callable[[float], None]
KEPT = 6

_plans: OrderedDict[str, Plan] = OrderedDict()
_at_rest: OrderedDict[str, AtRest] = OrderedDict()  # by basket: where its reeds came to rest last
_rests: deque[AtRest] = deque(maxlen=2 * KEPT)
"""What came to rest lately, of whatever basket."""


def _keep(store: OrderedDict, key: str, value: object) -> None:
    store[key] = value
    store.move_to_end(key)
    while len(store) > KEPT:
        store.popitem(last=False)


def forget() -> None:
    """No plan is remembered any more."""
    _plans.clear()


def planned(text: str, name: str, design: Design | None = None) -> Plan:
    """The plan of a text; `design` is what it says, where it has been read."""
    key = f"{name}\n{text}"
    if key not in _plans:
        _keep(_plans, key, planning.plan(reader.parse(text, name) if design is None else design))
    return _plans[key]


def rest_of(text: str, name: str, basket: str, progress: Progress) -> AtRest:
    """The reeds of a text at rest, which start from where those of the `basket` lay last. Raises Unweavable."""
    design = reader.parse(text, name)
    # After an undo, or another title, its reeds lie as they lay.
    known = next((rest for rest in reversed(_rests) if baskets.same_reeds(rest.design, design)), None)
    # One core: the other is for the maker's next change.
    rest = baskets.settled(design, known or _at_rest.get(basket), progress, cores=1)
    if known is None:
        _rests.append(rest)
    _keep(_at_rest, basket, rest)
    return rest


def know(packed: bytes) -> None:
    """Remember what another worker has brought to rest, as `rest_of` gave it there, pickled."""
    rest: AtRest = pickle.loads(packed)
    if not any(baskets.same_reeds(each.design, rest.design) for each in _rests):
        _rests.append(rest)


def resting(text: str, name: str, basket: str, progress: Progress) -> Plan:
    """The plan of a text from its reeds at rest (see `rest_of`)."""
    rest = rest_of(text, name, basket, progress)
    return planning.plan(rest.design, rest)


def plan_for(text: str, name: str, basket: str, relaxed: bool, progress: Progress, rest: bytes | None = None) -> Plan:
    """The plan to draw from: of reeds at rest where asked for and possible; `rest` where they lie, as another worker
    knows (see `know`)."""
    if relaxed:
        if rest is not None:
            know(rest)
        try:
            return resting(text, name, basket, progress)
        except Unweavable:
            pass
    return planned(text, name)
