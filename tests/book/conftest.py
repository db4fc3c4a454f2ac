"""Books for tests: on SQLite always, on PostgreSQL where its programs are found on this machine."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

from slype.book.store import Book
from slype.book.tables import PICTURE, TABLES

MISSING = "no PostgreSQL on this machine; to try the book on it: sudo apt install postgresql"


def _programs() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    path = str(found[-1]) if found else shutil.which("initdb")
    return Path(path).parent if path else None


@pytest.fixture(scope="session")
def server():
    """The address of a PostgreSQL server of these tests' own, on a socket in a folder of theirs; gone afterwards.

    The folder is no child of pytest's own: another run on the machine closes and clears those.
    """
    programs = _programs()
    if programs is None:
        pytest.skip(MISSING)
    folder = Path(tempfile.mkdtemp(prefix="slype-"))
    as_other = []
    if os.geteuid() == 0:  # the server refuses to run as root
        if shutil.which("runuser") is None:
            pytest.skip("PostgreSQL does not run as root")
        shutil.chown(folder, "postgres")
        as_other = ["runuser", "-u", "postgres", "--"]
    data = folder / "data"

    def run(program, *words):
        subprocess.run([*as_other, programs / program, *words], check=True, capture_output=True, cwd=folder)

    run("initdb", "-D", data, "-A", "trust", "-U", "slype", "--no-sync", "-E", "UTF8", "--locale=C")
    settings = f"-c listen_addresses='' -k {folder} -c fsync=off"
    run("pg_ctl", "-D", data, "-w", "-o", settings, "-l", folder / "log", "start")
    try:
        yield f"postgresql://slype@/postgres?host={folder}"
    finally:
        run("pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")
        shutil.rmtree(folder)


@pytest.fixture(params=["file", "server"])
def book(request, tmp_path):
    """An empty book, once on each."""
    if request.param == "file":
        with Book(str(tmp_path / "book.sqlite")) as opened:
            yield opened
        return
    with Book(request.getfixturevalue("server")) as opened:
        yield opened
        with opened.engine.begin() as db:
            for table in (PICTURE, *reversed(TABLES.values())):
                db.execute(table.delete())
