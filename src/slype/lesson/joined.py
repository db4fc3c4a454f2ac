"""Script modules joined into one text, in the order they need each other, so that a page can carry them in itself.

A page opened from a memory stick may not load modules from beside it (browsers give every such file an origin of its
own), but it may run what stands in it. So every module becomes a function that is run once and hands out what it
exports. Only the forms of `import` and `export` that our modules and three.js use are known; any other is an error.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable
from dataclasses import dataclass, field

from ..errors import FileTrouble

_IMPORT = re.compile(r"""^import\s*\{([^}]*)\}\s*from\s*["']([^"']+)["'];?[ \t]*$""", re.M)
_ALL = re.compile(r"""^import\s*\*\s*as\s+(\w+)\s+from\s*["']([^"']+)["'];?[ \t]*$""", re.M)
_HANDED_ON = re.compile(r"""^export\s*\{([^}]*)\}\s*from\s*["']([^"']+)["'];?[ \t]*$""", re.M)
_LIST = re.compile(r"^export\s*\{([^}]*)\};?[ \t]*$", re.M)
_DECLARED = re.compile(r"^export\s+((?:async\s+)?function\*?|class|const)\s+(\w+)", re.M)
_LEFT = re.compile(r"^(?:import|export)\b.*$", re.M)


@dataclass
class _Module:
    """A module's text without its imports and exports; what it `needs`, and what it `gives`: name outside, within."""

    text: str
    needs: list[str] = field(default_factory=list)
    gives: list[tuple[str, str]] = field(default_factory=list)


def join(entry: str, read: Callable[[str], str]) -> str:
    """One module's text that does what `entry` does with all it imports.

    `read(path)` gives the text of a module by its path; paths are those of `entry` and what is imported from there.
    Raises FileTrouble for a form of import it does not know, and for modules that need each other in a ring.
    """
    modules: dict[str, _Module] = {}
    order: list[str] = []

    def take(path: str, within: tuple[str, ...]) -> None:
        if path in within:
            raise FileTrouble(f"needs itself by way of {', '.join(within)}.", path, "Cut the ring.")
        if path in modules:
            return
        modules[path] = module = _read(path, read(path))
        for needed in module.needs:
            take(needed, (*within, path))
        order.append(path)

    take(entry, ())
    number = {path: f"m{at}" for at, path in enumerate(order)}
    parts = "\n".join(_wrapped(number, path, modules[path]) for path in order)
    return f'(() => {{\n"use strict";\n{parts}\n}})();\n'


def _wrapped(number: dict[str, str], path: str, module: _Module) -> str:
    text = re.sub(r"\0(.*?)\0", lambda found: number[found[1]], module.text)
    gives = ", ".join(
        f"{outside}: {re.sub(chr(0) + '(.*?)' + chr(0), lambda found: number[found[1]], within)}"
        for outside, within in module.gives
    )
    return f"const {number[path]} = (() => {{\n{text}\nreturn {{ {gives} }};\n}})();"


def _read(path: str, text: str) -> _Module:
    plan = _Module(text)

    def at(asked: str) -> str:
        found = posixpath.normpath(posixpath.join(posixpath.dirname(path), asked))
        if found not in plan.needs:
            plan.needs.append(found)
        return found

    def imported(found: re.Match) -> str:
        names = ", ".join(f"{a}: {b}" if a != b else a for a, b in _names(found[1]))
        return f"const {{ {names} }} = \0{at(found[2])}\0;"

    def all_of(found: re.Match) -> str:
        return f"const {found[1]} = \0{at(found[2])}\0;"

    def handed_on(found: re.Match) -> str:
        whence = at(found[2])
        plan.gives += [(outside, f"\0{whence}\0.{inside}") for inside, outside in _names(found[1])]
        return ""

    def listed(found: re.Match) -> str:
        plan.gives += [(outside, inside) for inside, outside in _names(found[1])]
        return ""

    def declared(found: re.Match) -> str:
        plan.gives.append((found[2], found[2]))
        return f"{found[1]} {found[2]}"

    forms = ((_IMPORT, imported), (_ALL, all_of), (_HANDED_ON, handed_on), (_LIST, listed), (_DECLARED, declared))
    for form, does in forms:
        plan.text = form.sub(does, plan.text)
    left = _LEFT.search(plan.text)
    if left:
        raise FileTrouble(f"cannot be joined: {left[0][:60]}", path, "Write import { a } from, or export const.")
    return plan


def _names(listed: str) -> list[tuple[str, str]]:
    """(name, what it is called from here on) of `a, b as c`."""
    out = []
    for each in filter(None, (part.strip() for part in listed.split(","))):
        first, _, second = (word.strip() for word in each.partition(" as "))
        out.append((first, second or first))
    return out
