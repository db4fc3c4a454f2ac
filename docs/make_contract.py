"""Writes contract.js of the page: what program and page say to each other, as types for whoever edits the page.

Run as `PYTHONPATH=src python docs/make_contract.py` after changing slype.studio.told; a test compares.
"""

from __future__ import annotations

import re
import typing
from pathlib import Path

from slype.studio import told
from slype.studio.told import baskets, book, classes, figures, tables

TARGET = Path(told.__file__).parents[1] / "page" / "js" / "base" / "contract.js"
PLAIN = {str: "string", int: "number", float: "number", bool: "boolean", type(None): "null", typing.Any: "any"}
HEAD = """/**
 * What the program and this page say to each other. Written by docs/make_contract.py from studio/told/: change it
 * there. Only types; nothing here runs.
 */

"""


def script(form: object) -> str:
    """A Python type as JSDoc has it."""
    if form in PLAIN:
        return PLAIN[form]
    if typing.is_typeddict(form):
        return form.__name__
    origin, inner = typing.get_origin(form), [script(each) for each in typing.get_args(form)]
    if origin is list:
        return f"Array<{inner[0]}>"
    if origin is dict:
        return f"Object<{inner[0]}, {inner[1]}>"
    return " | ".join(inner)


def forms() -> list[type]:
    """Every form, in the order of its module."""
    modules = figures, baskets, classes, tables, book
    return [
        form
        for module in modules
        for form in vars(module).values()
        if typing.is_typeddict(form) and form.__module__ == module.__name__
    ]


def text() -> str:
    """The whole of contract.js."""
    out = []
    for form in forms():
        told = re.sub(r"\s+", " ", form.__doc__.strip()) if form.__doc__ else ""
        keys = [f" * @property {{{script(kind)}}} {key}" for key, kind in typing.get_type_hints(form).items()]
        out.append("\n".join(["/**", f" * {told}", f" * @typedef {{object}} {form.__name__}", *keys, " */"]))
    return HEAD + "\n\n".join(out) + "\n\nexport {};\n"


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
