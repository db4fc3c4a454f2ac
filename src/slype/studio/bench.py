"""The baskets on the studio's bench: their documents, undo, and the files they belong to.

Theory
1. A basket is a list of whole documents and a place in it. A change adds a document; undo and redo only move the place.
2. The file on disk stays the truth: what is changed here is written there at once, but only where the file still holds
   what was last read from it or written to it. Where it does not, nothing is written until the maker has chosen
   ("mine", "disk"); what is then given up stays among the documents, one undo away.
3. Every document is in the journal before anything else happens to it, so a stopped program loses nothing.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from .. import files, system
from ..errors import DesignError, FileTrouble, SlypeError
from ..files import no_larger
from .journal import Entry, Journal, Memory
from .shown.class_texts import is_class

MOST_BASKETS = 200
SAVE_AFTER_S = 0.25
"""A change waits so long for the next before the file is written: a drag is many changes."""
MOST_BESIDE = 200
"""Files beside a class that are looked at for whether they have changed."""


class Unread(FileTrouble):
    """Nobody has read this text yet, so that nothing can be said of it."""


@dataclass
class Basket:
    """One basket on the bench; `revision` grows with every change of document, place or file."""

    memory: Memory
    revision: int = 1
    saved: bool = True
    conflict: SlypeError | None = None
    readable: bool = False
    """Whether what the disk holds instead could be taken in."""
    stamp: tuple[int, int] | None = None
    merging: str = ""
    notes: tuple[str, ...] = ()
    listening: set[asyncio.Queue] = field(default_factory=set)
    answer: dict | None = None
    """What a worker said of the current document: {"revision", "look", "trouble", "document", "solid"}."""
    rest: dict | None = None
    """The same of the basket at rest, once known."""
    turn: asyncio.Lock = field(default_factory=asyncio.Lock)
    """Whoever changes the document or its file holds this while a worker reads or reckons for it."""

    @property
    def text(self) -> str:
        """The current document."""
        return self.memory.entries[self.memory.here].text

    @property
    def name(self) -> str:
        """What messages call it."""
        return os.path.basename(self.memory.path) if self.memory.path else self.memory.name

    @property
    def called(self) -> str:
        """What a worker is told it is called: of a class its whole path, for its designs lie beside it."""
        return self.memory.path if self.memory.path and is_class(self.text) else self.name

    def tell(self, said: dict) -> None:
        """Let every window that shows this basket know."""
        for queue in self.listening:
            queue.put_nowait(said)


class Bench:
    """All baskets by id, the folders that were opened, and the journal.

    `read` raises a SlypeError where a text (first argument; the second is what to call it) is no design.
    """

    def __init__(self, folders: list[str], journal: Journal, read: Callable[[str, str], object]) -> None:
        self.folders = [os.path.realpath(folder) for folder in folders]
        self.journal = journal
        self.read = read
        self.baskets = {memory.id: _recalled(memory) for memory in journal.recall()}
        for folder in self.folders:
            files.sweep(folder, time.time())

    def basket(self, key: str) -> Basket:
        """A basket by its id. Raises FileTrouble where there is none."""
        if not isinstance(key, str) or key not in self.baskets:
            raise FileTrouble("this basket is no longer on the bench.", "", "Open it again.")
        return self.baskets[key]

    # Opening -------------------------------------------------------------------------------------------------

    def allowed(self, path: object, suffix: str = ".toml") -> str:
        """The real place of `path`, once it is sure to lie in a folder that was opened. Raises FileTrouble."""
        if not isinstance(path, str) or not path.isprintable() or len(path) > 4000:  # NUL, line ends, half letters
            raise FileTrouble("that is not the name of a file.", "", "Use letters, digits and ordinary signs.")
        full = path if os.path.isabs(path) else os.path.join(self.folders[0], path)
        real = os.path.realpath(full)
        if not any(system.is_inside(real, folder) for folder in self.folders):
            raise FileTrouble(
                "this lies outside the folders that were opened.", path,
                "Start it with that folder: slype studio FOLDER.",
            )  # fmt: skip
        if os.path.splitext(real)[1].lower() != suffix:
            raise FileTrouble("this is not a design file.", path, f"Its name ends in {suffix}.")
        return real

    def _is_inside(self, path: str) -> bool:
        try:
            return bool(self.allowed(path))
        except FileTrouble:
            return False

    def read_file(self, path: object) -> tuple[str, str]:
        """Text and name of a design file in an opened folder, without taking it in. Raises FileTrouble, DesignError."""
        real = self.allowed(path)
        return read_text(real), os.path.basename(real)

    def open_file(self, path: object) -> Basket:
        """The basket of a design file, as it is on disk. Raises FileTrouble or DesignError."""
        real = self.allowed(path)
        for basket in self.baskets.values():
            if basket.memory.path == real:
                self.look_at_disk(basket)
                return basket
        stamp, text = stamp_of(real), read_text(real)
        self.read(text, os.path.basename(real))
        basket = self._add(text, "opened", os.path.basename(real))
        basket.memory.path = basket.memory.on_disk = None
        self._bind(basket, real, text, stamp)
        return basket

    def open_text(self, text: object, name: object) -> Basket:
        """A basket from text that came over the wire; it has no file until it is given one. Raises DesignError.

        One of that name that lies there just as it was opened is taken up again.
        """
        name = name_of(name)
        text = no_larger(text, name)
        self.read(text, name)
        for basket in self.baskets.values():
            memory = basket.memory
            if memory.path is None and memory.name == name and [entry.text for entry in memory.entries] == [text]:
                return basket
        return self._add(text, "opened", name)

    def _add(self, text: str, label: str, name: str) -> Basket:
        if len(self.baskets) >= MOST_BASKETS:
            raise FileTrouble(f"{MOST_BASKETS} baskets lie on the bench.", "", "Put some away first.")
        memory = Memory(secrets.token_hex(6), [Entry(text, label)], 0, None, None, name)
        basket = Basket(memory, saved=False)
        try:
            self.journal.remember(memory, memory.entries[0])
        except FileTrouble:
            self.journal.forget(memory.id)
            raise
        self.baskets[memory.id] = basket
        return basket

    def put_away(self, key: str) -> None:
        """Take a basket off the bench; its file stays."""
        self.basket(key).tell({"gone": True})
        del self.baskets[key]
        self.journal.forget(key)

    # Changing ------------------------------------------------------------------------------------------------

    def replace(self, basket: Basket, text: object, label: str, merge: str = "", notes: tuple[str, ...] = ()) -> None:
        """Make `text` the current document. Changes with the same `merge` in a row count as one for undo."""
        text = no_larger(text, basket.name)
        self.read(text, basket.name)
        self._put(basket, text, label, merge, notes)

    def _put(self, basket: Basket, text: str, label: str, merge: str = "", notes: tuple[str, ...] = ()) -> None:
        memory = basket.memory
        if text == basket.text:
            basket.notes = notes
            return
        before = self._as_it_is(basket)
        at_end = memory.here == len(memory.entries) - 1
        if not (merge and merge == basket.merging and at_end and memory.here > 0):
            memory.here += 1
        del memory.entries[memory.here :]
        memory.entries.append(Entry(text, str(label)[:80]))
        basket.merging, basket.notes = merge, notes
        self._moved(basket, memory.entries[memory.here], before)

    def step(self, basket: Basket, by: int) -> None:
        """Undo (-1) or redo (+1), as far as there is anything to."""
        memory = basket.memory
        there = min(max(0, memory.here + by), len(memory.entries) - 1)
        if there != memory.here:
            before = self._as_it_is(basket)
            memory.here, basket.merging, basket.notes = there, "", ()
            self._moved(basket, None, before)

    @staticmethod
    def _as_it_is(basket: Basket) -> tuple:
        return list(basket.memory.entries), basket.memory.here, basket.merging, basket.notes

    def _moved(self, basket: Basket, added: Entry | None, before: tuple) -> None:
        """Write down what was changed; where that cannot be, all is as `before`. Raises FileTrouble."""
        try:
            self._remember(basket, added)
        except FileTrouble:
            basket.memory.entries, basket.memory.here, basket.merging, basket.notes = before
            raise
        basket.revision += 1
        basket.saved = basket.memory.path is not None and basket.memory.on_disk == basket.text

    def _remember(self, basket: Basket, added: Entry | None) -> None:
        """Raises FileTrouble also where the basket was put away meanwhile, which must not bring it back."""
        self.basket(basket.memory.id)
        self.journal.remember(basket.memory, added)

    # Files ---------------------------------------------------------------------------------------------------

    def save(self, basket: Basket, path: object = None, over: bool = False) -> None:
        """Write the current document to its file, or to a new one. Raises FileTrouble, and then writes nothing."""
        if path is not None:
            path = str(path) if isinstance(path, str) else self.allowed(path)
            real = self.allowed(path if path.lower().endswith(".toml") else f"{path}.toml")
            if real == basket.memory.path:
                return self.save(basket)
            if any(other is not basket and other.memory.path == real for other in self.baskets.values()):
                raise FileTrouble("another basket on the bench has this file.", path, "Choose another name.")
            unfit = system.unfit_name(os.path.basename(real))
            if unfit:
                raise FileTrouble(unfit, path, "Choose another name.")
            if os.path.exists(real) and not over:
                raise FileTrouble("there is a file of this name already.", path, "Choose another name.")
            files.check_output(real, (".toml",))
            files.write(real, basket.text)
            self._bind(basket, real, basket.text)
            basket.revision += 1
            return
        if basket.memory.path is None:
            raise FileTrouble("this basket has no file yet.", "", "Give it a name first.")
        self.allowed(basket.memory.path)  # it may be from an earlier run, which had other folders open
        self.look_at_disk(basket, closely=True)
        if basket.conflict is None and not basket.saved:
            files.write(basket.memory.path, basket.text)
            self._bind(basket, basket.memory.path, basket.text)

    def _bind(self, basket: Basket, path: str, on_disk: str, stamp: tuple[int, int] | None = None) -> None:
        """`stamp` of the file from before it was read; a file just written has the one it has now."""
        basket.memory.path, basket.memory.on_disk = path, on_disk
        basket.stamp, basket.conflict, basket.saved = stamp or stamp_of(path), None, on_disk == basket.text
        self._remember(basket, None)

    def beside(self, basket: Basket) -> tuple[object, ...]:
        """Of a class, what tells whether the designs and lists in its folder are still those it was reckoned from."""
        if basket.memory.path is None or not is_class(basket.text):
            return ()
        folder, own = os.path.split(basket.memory.path)
        found: list[object] = []
        with contextlib.suppress(OSError):
            for name in sorted(os.listdir(folder)):
                if name != own and name.lower().endswith((".toml", ".csv")) and len(found) < MOST_BESIDE:
                    found.append((name, stamp_of(os.path.join(folder, name))))
        return tuple(found)

    def unread(self, basket: Basket, closely: bool = False) -> str | None:
        """The text that lies in the basket's file where `look_at_disk` would have to read it as a design; else None."""
        path = basket.memory.path
        stamp = None if path is None else stamp_of(path)
        if path is None or stamp is None or (not closely and stamp == basket.stamp) or not self._is_inside(path):
            return None
        try:
            text = read_text(path)
        except (FileTrouble, DesignError):
            return None
        return None if text in (basket.memory.on_disk, basket.text) else text

    def look_at_disk(self, basket: Basket, closely: bool = False) -> bool:
        """Notice a file that was changed by somebody else; True where the basket changed or a choice is due.

        `closely`: read it though its time and size are as they were, for they do not tell of every change.

        Where nothing here waits to be written the file's new text is simply taken in, one undo away from the old.
        """
        path = basket.memory.path
        stamp = None if path is None else stamp_of(path)
        if path is None or (not closely and stamp is not None and stamp == basket.stamp):
            return False
        if not self._is_inside(path):
            return False
        before = basket.conflict
        try:
            text = read_text(path)
        except (FileTrouble, DesignError) as trouble:
            return self._disagree(basket, trouble, before)
        if text in (basket.memory.on_disk, basket.text):
            self._bind(basket, path, text, stamp)
            return before is not None
        try:
            self.read(text, basket.name)
        except Unread:
            if closely:  # what waits here would be written over it
                raise
            return False  # looked at again a second later
        except SlypeError as trouble:
            return self._disagree(basket, trouble, before)
        if basket.saved or basket.memory.on_disk == basket.text:
            basket.memory.on_disk = text
            self.replace(basket, text, "changed on disk", notes=("The file was changed by another program.",))
            self._bind(basket, path, text, stamp)
            return True
        said = FileTrouble("the file on disk was changed by another program.", basket.name)
        return self._disagree(basket, said, before, readable=True)

    def _disagree(self, basket: Basket, trouble: SlypeError, before: SlypeError | None, readable: bool = False) -> bool:
        basket.conflict, basket.readable, basket.saved = trouble, readable, False
        news = before is None or str(before) != str(trouble)
        basket.revision += news
        return news

    def settle(self, basket: Basket, keep: object) -> None:
        """End a disagreement with the disk: keep "mine" (written over the file) or "disk" (taken in)."""
        path = basket.memory.path
        if basket.conflict is None or path is None:
            return
        self.allowed(path)
        if keep == "disk":
            text = read_text(path)
            basket.memory.on_disk = text
            self.replace(basket, text, "taken from disk")
            self._bind(basket, path, text)
        elif keep == "mine":
            mine, theirs = basket.text, None
            notes: tuple[str, ...] = ()
            with contextlib.suppress(FileTrouble, DesignError):
                theirs = read_text(path)
            if theirs is not None:  # what lay there stays among the documents, below the current one
                with contextlib.suppress(DesignError):
                    self.replace(basket, theirs, "as it was on disk")
                    self._put(basket, mine, "kept")
            if os.path.isfile(path) and theirs not in {entry.text for entry in basket.memory.entries}:
                notes = (f"What could not be read is kept as {os.path.basename(files.put_aside(path))}.",)
            files.write(path, basket.text)
            self._bind(basket, path, basket.text)
            basket.notes = notes or basket.notes
        else:
            raise FileTrouble("say which to keep.", "keep", 'Either "mine" or "disk".')
        basket.revision += 1


def name_of(name: object) -> str:
    """What messages may call a text that came over the wire."""
    return "".join(sign for sign in str(name) if sign.isprintable())[:80] or "new basket"


def _recalled(memory: Memory) -> Basket:
    basket = Basket(memory)
    basket.saved = memory.path is not None and memory.on_disk == basket.text
    return basket


def stamp_of(path: str) -> tuple[int, int] | None:
    """What tells cheaply whether a file was written since: its time and size; None where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def read_text(path: str) -> str:
    """A design file's text, unread. Raises FileTrouble or DesignError."""
    name = os.path.basename(path)
    if os.path.exists(path) and not os.path.isfile(path):  # a pipe would be waited for without end
        raise FileTrouble("is not a file with text in it.", name)
    return files.text_of(files.read(path, name=name), name)
