"""Photographs of baskets: kept beside the book under the hash of what they hold, so that none is kept twice or altered.
A book on a server keeps them in it, so that every bench sees them.

Nothing here opens a picture; what it shows is for whoever looks at it.
"""

from __future__ import annotations

import hashlib
import os

import sqlalchemy as sa

from .. import files
from ..errors import FileTrouble
from .store import Book, Writing
from .tables import PHOTO, PICTURE

MOST_BYTES = 60_000_000
"""No photograph is larger: a camera's largest is half of it (common practice, no source)."""
KINDS = {b"\xff\xd8\xff": ".jpg", b"\x89PNG\r\n\x1a\n": ".png", b"RIFF": ".webp"}


def folder_beside(path: str) -> str:
    """Where the photographs of the book at `path` lie."""
    return os.path.splitext(path)[0] + "-photographs"


def folder_of(book: Book) -> str:
    """Where a book's photographs lie."""
    return folder_beside(book.path)


def path_of(folder: str, sha256: str) -> str:
    """Where the photograph of that hash lies."""
    return os.path.join(folder, sha256[:2], sha256)


def hash_of(path: str) -> str:
    """SHA-256 of a file, as hex."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def keep(book: Book, basket: str, path: str, folder: str | None = None) -> str:
    """Keep the photograph at `path` with a basket; its entry's id. Raises FileTrouble where it is no photograph."""
    return keep_bytes(book, basket, read(path), os.path.basename(path), folder)


def read(path: str) -> bytes:
    """The bytes of the photograph at `path`. Raises FileTrouble where it is none."""
    raw = files.read(path, MOST_BYTES)
    check(raw, os.path.basename(path))
    return raw


def keep_bytes(book: Book, basket: str, raw: bytes, name: str, folder: str | None = None) -> str:
    """The same of a photograph's own bytes."""
    check(raw, name)
    sha256 = hashlib.sha256(raw).hexdigest()
    if book.is_file:
        target = path_of(folder or folder_of(book), sha256)
        if not os.path.exists(target) or hash_of(target) != sha256:
            files.make_folder(os.path.dirname(target))
            files.write(target, raw)
    with book.writing() as work:
        if not book.is_file:
            put_on_server(work, sha256, raw)
        return work.add(PHOTO, basket_id=basket, sha256=sha256, name=name[:200], size=len(raw))


def put_on_server(work: Writing, sha256: str, raw: bytes) -> None:
    """Keep the bytes of a photograph in the book itself, once."""
    there = sa.select(PICTURE.c.sha256).where(PICTURE.c.sha256 == sha256)
    if work.db.execute(there).first() is None:
        work.db.execute(PICTURE.insert().values(sha256=sha256, raw=raw))


def bytes_of(book: Book, sha256: str) -> bytes | None:
    """The photograph of that hash; None where it is missing or not what it was."""
    if book.is_file:
        try:
            with open(path_of(folder_of(book), sha256), "rb") as file:
                raw: bytes | None = file.read()
        except OSError:
            return None
    else:
        with book.reading() as db:
            raw = db.execute(sa.select(PICTURE.c.raw).where(PICTURE.c.sha256 == sha256)).scalar()
    return raw if raw is not None and hashlib.sha256(raw).hexdigest() == sha256 else None


def check(raw: bytes, name: str) -> None:
    """Raises FileTrouble for what is no photograph, or too large for one."""
    if len(raw) > MOST_BYTES:
        raise FileTrouble(f"is larger than any photograph ({MOST_BYTES // 1_000_000} MB).", name)
    if not any(raw.startswith(sign) for sign in KINDS):
        raise FileTrouble("is no photograph slype knows.", name, "Give it as JPEG, PNG or WebP.")


def of_basket(book: Book, basket: str) -> list[tuple[str, str]]:
    """(name, SHA-256) of a basket's photographs."""
    with book.reading() as db:
        found = db.execute(sa.select(PHOTO.c.name, PHOTO.c.sha256).where(PHOTO.c.basket_id == basket))
        return [(row.name, row.sha256) for row in found]
