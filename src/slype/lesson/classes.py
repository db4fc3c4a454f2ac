"""The lessons of a class: one for every basket that is woven in it, whatever hand, colours and size its seats ask."""

from __future__ import annotations

import re

from ..kit.seats import Basket
from ..kit.worked import Worked
from .content import Lesson
from .whole import whole


def lessons(made: Worked) -> list[tuple[str, bytes, tuple[int, ...]]]:
    """(name of the file, its bytes, the seats it is for) of every different basket, in the order of the seats."""
    found: dict[int, Basket] = {id(kit.basket): kit.basket for kit in made.kits}
    names: dict[str, int] = {}
    out = []
    for basket in found.values():
        seats = "-".join(map(str, basket.seats))
        name = f"lesson-{_plain(basket.design.title)}-{basket.design.hand}-seat-{seats}"[:80]
        names[name] = names.get(name, 0) + 1
        if names[name] > 1:
            name = f"{name}-{names[name]}"
        out.append((f"{name}.html", whole(Lesson(basket.plan)), basket.seats))
    return out


def _plain(title: str) -> str:
    """A title as part of a file's name on any machine."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:30] or "basket"
