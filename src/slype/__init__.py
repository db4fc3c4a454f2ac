"""slype: design, measure and teach wicker baskets woven from round reed.

A basket is written down as its spokes, its shape, its bands of weaving and its border. From the
strokes themselves slype works out what will be seen on either face, how long every spoke and weaver
must be cut, how much reed and dye that takes, and how to teach it for either hand.

For scripts (docs/python.md): `import slype` is there at once, and each name below is fetched from its
room when it is first used.
"""

__version__ = "0.1.0"

TYPE_CHECKING = False  # as typing has it, which would take longer to import than all of this
if TYPE_CHECKING:
    from .advice.book import Finding
    from .borders.rows import Need
    from .design.file.reader import load as read
    from .design.file.reader import parse
    from .design.values import Design
    from .edit.apply import Edited
    from .edit.apply import apply as change
    from .errors import DesignError, FileTrouble, SlypeError, Unweavable
    from .export.plan import as_json
    from .plans.planning import Plan, plan
    from .quantity import parse_length, show_length
    from .rest.relax import AtRest, relax
    from .script.verbs import border, chart, check, effects, picture, sheet, solid
    from .weave.counts import CountLine

__all__ = [
    "AtRest",
    "CountLine",
    "Design",
    "DesignError",
    "Edited",
    "FileTrouble",
    "Finding",
    "Need",
    "Plan",
    "SlypeError",
    "Unweavable",
    "as_json",
    "border",
    "change",
    "chart",
    "check",
    "effects",
    "parse",
    "parse_length",
    "picture",
    "plan",
    "read",
    "relax",
    "sheet",
    "show_length",
    "solid",
]  # fmt: skip

_ROOMS = {
    "advice.book": "Finding",
    "borders.rows": "Need",
    "design.file.reader": "read=load parse",
    "design.values": "Design",
    "edit.apply": "Edited change=apply",
    "errors": "DesignError FileTrouble SlypeError Unweavable",
    "export.plan": "as_json",
    "plans.planning": "Plan plan",
    "quantity": "parse_length show_length",
    "rest.relax": "AtRest relax",
    "script.verbs": "border chart check effects picture sheet solid",
    "weave.counts": "CountLine",
}
"""Where each public name comes from; `here=there` where it is called otherwise in its room."""


def __getattr__(name: str) -> object:
    for room, names in _ROOMS.items():
        for said in names.split():
            here, _, there = said.partition("=")
            if here == name:
                from importlib import import_module

                value = globals()[name] = getattr(import_module(f"slype.{room}"), there or here)
                return value
    raise AttributeError(f"module 'slype' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
