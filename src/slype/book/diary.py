"""The diary: every entry of the book a second time, as a line of text in a file beside it that is only ever added to.

Theory
1. A line is one transaction: its number, then what it added, changed and took out, with a checksum in front. It is on
   disk before the book itself says "done"; the book keeps the number of its last line (`tables.MARK`).
2. So whatever happens to one of the two, the other has it: a book that is damaged is built anew from the diary, a
   diary that is damaged is written anew from the book, and each proves the other.
3. A line the book does not know of was never acknowledged: the program was stopped between the two. It is taken off
   when the book is opened next. Only the last line can be such a one, for lines are written under the book's own lock.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..errors import FileTrouble

Op = tuple[str, str, dict]
"""("add" | "change" | "drop", table, the entry's values; of a change only those that changed; always its id)."""


@dataclass(frozen=True)
class Line:
    """One transaction: its number from 1 and what it did, in order."""

    number: int
    ops: tuple[Op, ...]


def packed(line: Line) -> bytes:
    """The line as it stands in the file."""
    body = json.dumps([line.number, line.ops], ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    return b"%08x %s\n" % (zlib.crc32(body), body)


def unpacked(raw: bytes) -> Line | None:
    """The line that stands there; None where it is damaged."""
    try:
        said, body = raw.rstrip(b"\n").split(b" ", 1)
        if not raw.endswith(b"\n") or len(said) != 8 or int(said, 16) != zlib.crc32(body):
            return None
        number, ops = json.loads(body)
        return Line(int(number), tuple((str(kind), str(table), dict(values)) for kind, table, values in ops))
    except (ValueError, TypeError):
        return None


class Diary:
    """The file at `path`."""

    def __init__(self, path: str) -> None:
        self.path = path

    def lines(self) -> Iterator[Line | None]:
        """Every line in turn; None for one that is damaged. Nothing where there is no file."""
        try:
            with open(self.path, "rb") as file:
                for raw in file:
                    yield unpacked(raw)
        except FileNotFoundError:
            return
        except OSError as trouble:
            raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", self.path) from None

    def write(self, line: Line) -> int:
        """Add a line and bring it to disk; the size before it. Raises FileTrouble, and then the file is as it was."""
        before = self.size()
        try:
            with open(self.path, "ab") as file:
                file.write(packed(line))
                file.flush()
                os.fsync(file.fileno())
        except OSError as trouble:
            self.cut(before)
            raise FileTrouble(
                f"cannot be written: {trouble.strerror or trouble}. Nothing was entered.", self.path,
                "Make room on the disk, or allow writing there, and enter it again.",
            ) from None  # fmt: skip
        return before

    def size(self) -> int:
        """Bytes in the file."""
        try:
            return os.path.getsize(self.path)
        except FileNotFoundError:
            return 0
        except OSError as trouble:
            raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", self.path) from None

    def cut(self, size: int) -> None:
        """Take off what stands beyond `size` bytes, as far as the disk lets us; `unended` finds what is left."""
        try:
            if os.path.exists(self.path) and os.path.getsize(self.path) > size:
                os.truncate(self.path, size)
        except OSError:
            pass

    def take_off_beyond(self, last: int) -> None:
        """Take off lines at the end that the book does not know of, and half a line; `last` is the last it knows."""
        try:
            with open(self.path, "rb") as file:
                keep = tail = 0
                for raw in file:
                    tail += len(raw)
                    line = unpacked(raw)
                    if line is not None and line.number <= last:
                        keep = tail
                    elif line is None and raw.endswith(b"\n"):
                        keep = tail  # damaged in the middle: `slype book check` speaks of it
        except FileNotFoundError:
            return
        except OSError as trouble:
            raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", self.path) from None
        if keep < tail:
            self.cut(keep)

    def rewrite(self, lines: Iterable[Line]) -> None:
        """Put other lines in place of all, or leave it as it was."""
        from ..files import write

        write(self.path, b"".join(packed(line) for line in lines))
