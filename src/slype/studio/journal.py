"""The studio's memory of every basket on the bench: all its texts, on disk, so that nothing is lost.

A basket has a folder of its own. `texts.jsonl` holds one line for each whole document, only ever added to; `now.json`
says which of them is current, and which file it belongs to. A program that is stopped at any moment leaves at worst one
half line at the end, which the next start leaves out.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
from dataclasses import asdict, dataclass, field
from typing import IO

from .. import files, system
from ..errors import FileTrouble

ID = re.compile(r"[0-9a-f]{12}")


@dataclass(frozen=True)
class Entry:
    """One whole document, and what was done to reach it."""

    text: str
    label: str


@dataclass
class Memory:
    """A basket's documents `entries`, the current one `here`, the file `path` and what that held when last read or
    written here (`on_disk`, None where never)."""

    id: str
    entries: list[Entry] = field(default_factory=list)
    here: int = 0
    path: str | None = None
    on_disk: str | None = None
    name: str = "new basket"


class Taken(FileTrouble):
    """Another program has the bench."""


class Journal:
    """The folder that holds every basket's memory."""

    def __init__(self, folder: str) -> None:
        self.folder = folder
        try:
            files.make_folder(folder)
        except FileTrouble as trouble:
            raise FileTrouble(trouble.message, folder, "Allow it, or name another folder in SLYPE_STATE.") from None
        self._lock = _hold(os.path.join(folder, "in-use"))

    def close(self) -> None:
        """Let another program have the bench."""
        self._lock.close()

    def _at(self, basket: str, name: str) -> str:
        return os.path.join(self.folder, basket, name)

    def remember(self, memory: Memory, added: Entry | None) -> None:
        """Write down the current place, and first the document that was `added` at it. Raises FileTrouble, and then the
        journal is as it was."""
        files.make_folder(os.path.join(self.folder, memory.id))
        texts = self._at(memory.id, "texts.jsonl")
        size = os.path.getsize(texts) if os.path.exists(texts) else 0
        now = {"here": memory.here, "path": memory.path, "on_disk": memory.on_disk, "name": memory.name}
        try:
            if added is not None:
                _append(texts, json.dumps({"at": memory.here, **asdict(added)}, ensure_ascii=True) + "\n")
            files.write(self._at(memory.id, "now.json"), json.dumps(now), sync=False)
        except (OSError, FileTrouble) as trouble:
            if added is not None:
                with contextlib.suppress(OSError):
                    os.truncate(texts, size)
            why = getattr(trouble, "strerror", None) or getattr(trouble, "message", trouble)
            raise FileTrouble(
                f"the change could not be kept, so it was not made: {str(why).rstrip('.')}.", self.folder,
                "Make room on the disk and change it again.",
            ) from None  # fmt: skip

    def recall(self) -> list[Memory]:
        """Every basket that can be read back, the last one worked on at the end; what cannot is left where it is."""
        found = [basket for basket in files.read_folder(self.folder) if ID.fullmatch(basket)]
        read = [self._read(basket) for basket in sorted(found, key=self._touched)]
        return [memory for memory in read if memory is not None]

    def _touched(self, basket: str) -> float:
        try:
            return os.stat(self._at(basket, "now.json")).st_mtime
        except OSError:
            return 0.0

    def _read(self, basket: str) -> Memory | None:
        memory = Memory(basket)
        try:
            with open(self._at(basket, "texts.jsonl"), encoding="ascii", errors="replace") as file:
                for line in file:
                    try:
                        row = json.loads(line)
                        entry, at = Entry(str(row["text"]), str(row["label"])), int(row["at"])
                    except (ValueError, KeyError, TypeError):
                        continue  # half a line, from a program that was stopped
                    del memory.entries[at:]  # what was undone before it is gone
                    memory.entries.append(entry)
            with open(self._at(basket, "now.json"), encoding="utf-8") as file:
                now = json.load(file)
            here, name, path, on_disk = int(now["here"]), now["name"], now["path"], now["on_disk"]
            if not isinstance(name, str) or not all(isinstance(each, str | None) for each in (path, on_disk)):
                raise ValueError("not what remember() writes")
            memory.here = min(max(0, here), len(memory.entries) - 1)
            memory.path, memory.on_disk, memory.name = path, on_disk, name
        except (OSError, ValueError, KeyError, TypeError):
            if not memory.entries:
                return None
            memory.here = len(memory.entries) - 1
        return memory if memory.entries else None

    def forget(self, basket: str) -> None:
        """Take a basket off the bench for good."""
        if ID.fullmatch(basket):
            shutil.rmtree(os.path.join(self.folder, basket), ignore_errors=True)


def _append(path: str, line: str) -> None:
    with open(path, "ab+") as file:
        if file.tell():
            file.seek(-1, os.SEEK_END)
            if file.read(1) != b"\n":  # half a line, from a program that was stopped: it gets its end
                line = "\n" + line
        file.write(line.encode("ascii"))


def _hold(path: str) -> IO:
    """A lock on the bench for as long as this program runs: two that wrote to one journal would lose each other's
    documents. Raises Taken where another holds it."""
    try:
        file = open(path, "a")  # it stays open, and the system lets go of it with the program
    except OSError as trouble:
        raise FileTrouble(
            f"the studio cannot keep its baskets here: {trouble.strerror or trouble}.", os.path.dirname(path),
            "Allow writing to this folder, or name another in SLYPE_STATE.",
        ) from None  # fmt: skip
    if system.lock(file):
        return file
    file.close()
    stop = system.how_to_stop()
    raise Taken(
        "a studio is open already.", "the bench", f"Go on in its page, or close it first ({stop} where it runs)."
    )
