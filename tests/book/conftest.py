"""Books for tests: on SQLite always, on PostgreSQL where its programs are found on this machine."""

import contextlib
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from slype.book.store import Book
from slype.book.tables import TABLES

MISSING = "no PostgreSQL on this machine; to try the book on it: sudo apt install postgresql"


def _programs() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    path = str(found[-1]) if found else shutil.which("initdb")
    return Path(path).parent if path else None


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """The address of a PostgreSQL server of these tests' own, on a socket in a folder of theirs; gone afterwards."""
    programs = _programs()
    if programs is None:
        pytest.skip(MISSING)
    folder = tmp_path_factory.mktemp("postgres")
    as_other = []
    if os.geteuid() == 0:  # the server refuses to run as root
        if shutil.which("runuser") is None:
            pytest.skip("PostgreSQL does not run as root")
        for each in (folder, *folder.parents):
            if each.owner() == "root" and each.is_relative_to(Path(os.environ.get("TMPDIR", "/tmp"))):
                with contextlib.suppress(PermissionError):
                    each.chmod(each.stat().st_mode | 0o055)
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
        with contextlib.suppress(subprocess.CalledProcessError):  # other tests may have cleared its folder away
            run("pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")


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
            for table in reversed(TABLES.values()):
                db.execute(table.delete())
