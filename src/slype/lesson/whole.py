"""The one file: the page with its style, its scripts, the words and the basket, and a policy that forbids all else.

Theory
1. A page opened from a file may load nothing from beside it, so everything stands in it. The page's own small script
   and its words come first; three.js with the studio's scene, and the basket's points, are packed (gzip, base64)
   behind them, and unpacked by the browser itself (DecompressionStream) once the first sentence is on the screen.
2. Scripts are run as they stand, never fetched: the policy names each by its hash (Content Security Policy,
   "hash-source"), also the one that is unpacked. So the file may connect to nothing, load nothing, and run nothing
   that is not its own.
"""

from __future__ import annotations

import base64
import functools
import hashlib
import html
import json
import posixpath
from importlib import resources

from .content import Lesson
from .joined import join
from .packed import in_page, packed

OWN = "lesson/page"
LIGHT = "../../page/scene/openness-worker.js"
"""The scene stands in `slype/page`, from which the studio's page takes it too: both draw with the same modules."""


def whole(lesson: Lesson, seats: bool = False) -> bytes:
    """The file's bytes. With `seats`, a page that is served in a room may tell the teacher how far a seat is."""
    own, (scene, scene_packed), (_, light) = _script("main.js"), _packed_script("scene.js"), _packed_script(LIGHT)
    style = _file(f"{OWN}/lesson.css")
    words = {**lesson.words, "seats": seats}
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {_hash(own)} {_hash(scene)}",
            f"style-src {_hash(style)}",
            "img-src data: blob:",
            "media-src data: blob:",
            "worker-src blob:",
            "connect-src 'self'" if seats else "connect-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )
    filled = {
        "title": html.escape(words["title"]),
        "policy": policy,
        "style": style,
        "own": own,
        "words": in_page(json.dumps(words, ensure_ascii=False, separators=(",", ":")).encode()),
        "drawings": in_page(json.dumps(lesson.drawings, ensure_ascii=False, separators=(",", ":")).encode()),
        "scene": scene_packed,
        "light": light,
        "basket": in_page(packed(*lesson.space)),
    }
    page = _file(f"{OWN}/lesson.html")
    before, *rest = page.split("{{")
    out = [before]
    for each in rest:
        name, after = each.split("}}", 1)
        out += [filled[name], after]
    return "".join(out).encode()


def _script(name: str) -> str:
    return join(posixpath.normpath(f"{OWN}/{name}"), _file)


@functools.lru_cache(maxsize=4)
def _packed_script(name: str) -> tuple[str, str]:
    """(a script, the same packed); remembered, for three.js takes most of the time and a class has several lessons."""
    script = _script(name)
    return script, in_page(script.encode())


def _file(path: str) -> str:
    """A text of the package by its path below it, its lines ended as the hashes take them."""
    return resources.files("slype").joinpath(path).read_text(encoding="utf-8").replace("\r\n", "\n")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
