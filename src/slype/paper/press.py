"""One document on its way through the typesetter: a folder with its words and its drawings, a file each.

Within a process the typesetter knows again what it has worked out before, by what a file says. So a document is set
with blank drawings while the true ones are still being made, each of those is read as it comes, and now and again the
document is set anew with those that are there: only the steps whose drawings are new take time then, and little is left
to do at the end. The typesetter works beside Python, on another core where there is one.
"""

from __future__ import annotations

import functools
import json
import os
import re
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import resources
from queue import SimpleQueue
from threading import Thread
from typing import Any, Final

from .. import system
from ..figures.later import Later
from ..version import VERSION

STANDARD: Final = "ua-1"
"""PDF/UA-1: tagged, with a title, a language and alternative texts."""
FONT = "Libertinus Serif"
"""That of all documents: a drawing is known again where it was read among text of the same font."""
WORDS = "said.json"
UNDER_WAY = "under-way.svg"
"""A drawing that is being written."""
PARTS = 4
"""In so many parts drawings come into the document that is set beside."""

Drawn = SimpleQueue[str | None]
"""Names of drawings that are made and lie in the folder, None after the last."""


@dataclass(eq=False)
class Press:
    """Sets the document `name`, which lies in `folder`; by the typesetter's `own_fonts` alone, or also by this
    machine's."""

    folder: str
    name: str
    own_fonts: bool = True
    pictures: dict[str | Later, str] = field(default_factory=dict)
    """The file's name of every drawing: what stands at two places is read once."""

    def says(self, said: Mapping[str, object]) -> None:
        """Puts down the document's words; a drawing in them is SVG as text, or `Later` to be made by `draw`."""
        known = len(self.pictures)
        self._put(WORDS, json.dumps(self._named(said), ensure_ascii=False))
        for picture, name in list(self.pictures.items())[known:]:
            self._put(name, picture.blank if isinstance(picture, Later) else picture)

    def draw(self) -> None:
        """Makes the drawings that were left for later; meanwhile the typesetter does what it can."""
        late = {name: each for each, name in self.pictures.items() if isinstance(each, Later)}
        if not late:
            return
        drawn: Drawn = SimpleQueue()
        failed: list[Exception] = []
        beside = Thread(target=self._beside, args=(drawn, len(late) / PARTS, failed), name="typesetter")
        beside.start()
        try:
            for name, each in late.items():
                self._put(UNDER_WAY, each.draw())
                system.replace(self._at(UNDER_WAY), self._at(name))  # its blank may just be read
                drawn.put(name)
        finally:
            drawn.put(None)
            beside.join()
        if failed:
            raise failed[0]

    def pdf(self, standard: bool = True, inputs: Mapping[str, str] | None = None) -> bytes:
        """The document, by STANDARD where that is promised; `inputs` are its `sys.inputs`."""
        import typst  # slow to load, and only what is printed needs it

        ways: dict[str, Any] = self._ways(inputs) | ({"pdf_standards": STANDARD} if standard else {})
        return signed(typst.compile(self._at(self.name), format="pdf", **ways))

    def value(self, label: str, inputs: Mapping[str, str] | None = None) -> Any:
        """What the document, once set, holds under a label."""
        import typst

        return json.loads(typst.query(self._at(self.name), label, field="value", one=True, **self._ways(inputs)))

    def _beside(self, drawn: Drawn, part: float, failed: list[Exception]) -> None:
        """What the typesetter does while drawings are made: set the words, then read all that has come, and set the
        document anew after each `part` of so many of them.

        Whatever lets other Python go on here waits for its turn again, some thousandths of a second every time: files
        are written by whoever draws.
        """
        try:
            self._look(self._at(self.name))
            last, new = False, 0
            while not last:
                batch = [drawn.get()]
                while not drawn.empty():
                    batch.append(drawn.get())
                last = batch[-1] is None
                images = "".join(f'#image("{name}")\n' for name in batch if name is not None)
                self._look(f'#set text(font: "{FONT}")\n{images}'.encode())
                new += len(batch)
                if new >= part and not last:
                    self._look(self._at(self.name))
                    new = 0
        except Exception as trouble:
            failed.append(trouble)

    def _look(self, source: str | bytes) -> None:
        """Has the typesetter work through a file, or a text of its own. Trouble shows again when all is set, and is
        told then."""
        import typst

        try:
            typst.query(source, "<none>", **self._ways(None))
        except RuntimeError:  # of which its own is one
            pass

    def _named(self, value: object) -> object:
        """Words with the name of its file for each drawing."""
        if isinstance(value, list | tuple):
            return [self._named(each) for each in value]
        if not isinstance(value, Mapping):
            return value
        return {
            key: self.pictures.setdefault(each, f"{len(self.pictures)}.svg") if key == "svg" else self._named(each)
            for key, each in value.items()
        }

    def _at(self, name: str) -> str:
        return os.path.join(self.folder, name)

    def _put(self, name: str, text: str) -> None:
        with open(self._at(name), "w", encoding="utf-8") as file:
            file.write(text)

    def _ways(self, inputs: Mapping[str, str] | None) -> dict[str, Any]:
        fonts: dict[str, Any] = {"font_paths": standing_fonts()} if self.own_fonts else {}
        return {"root": self.folder, "sys_inputs": dict(inputs or {}), **fonts}


@functools.cache
def standing_fonts() -> Any:
    """The typesetter's own fonts, opened once: a sheet goes through it some forty times, and each would open all of
    them anew."""
    import typst

    return typst.Fonts(include_system_fonts=False)


@contextmanager
def pressed(name: str, others: Mapping[str, bytes] | None = None) -> Iterator[Press]:
    """A press for a Typst file of this room; `others` are files by name that it takes in besides."""
    source = resources.files(__package__).joinpath(name).read_bytes()
    with tempfile.TemporaryDirectory(prefix="slype-") as folder:
        for each, content in {name: source, **(others or {})}.items():
            with open(os.path.join(folder, each), "wb") as file:
                file.write(content)
        yield Press(folder, name)


_CREATOR = re.compile(rb"Typst \d+\.\d+\.\d+")


def signed(pdf: bytes) -> bytes:
    """The same PDF saying which program it comes from, in as many bytes: every place in it stays where it is."""
    name = f"slype {VERSION}".encode()
    return _CREATOR.sub(lambda found: name[: len(found[0])].ljust(len(found[0])), pdf)
