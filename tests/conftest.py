"""How the tests run: the same random baskets every time in CI, and the handbooks' errors where asked for."""

import gc
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from browser import chromium, tab  # noqa: F401 - fixtures for every test that needs a browser
from hypothesis import HealthCheck, settings
from hypothesis.internal.conjecture import providers
from in_turn import compile_in_turn
from places import FOLDER, SOURCE
from worked import example

HERE = Path(__file__).parent
pytest_plugins = ["suite_times"] if "SUITE_TIMES" in os.environ else []  # benchmarks/bench_suite.py asks for it

settings.register_profile("ci", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("local", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "local")
if os.environ.get("CI"):
    # Nor are numbers that stand in the code tried first: which of it is loaded differs from one worker and run to the
    # next, and with it what is asked. To look for them took a second of every worker.
    providers.is_local_module_file = lambda file: False


def pytest_configure(config):
    """Before any worker starts: the folder in which they share what takes long to work."""
    if hasattr(config, "workerinput") and FOLDER in os.environ:
        compile_in_turn(os.environ[FOLDER])
    if hasattr(config, "workerinput") or FOLDER in os.environ:
        return
    folder = tempfile.TemporaryDirectory(prefix="slype-tests-")
    os.environ[FOLDER] = folder.name
    config.add_cleanup(lambda: (os.environ.pop(FOLDER), folder.cleanup()))
    if config.option.dist == "no" or next(SOURCE.rglob("*.nbi"), None):
        return
    # In a fresh clone nothing is compiled yet. While the workers still look for their tests, two processes do that once
    # for all of them, and leave what they have worked in the folder.
    for what in ("rested('estuary')", "painted('posy')"):
        surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join((str(SOURCE.parent), str(HERE / "support")))}
        turns = f"import in_turn; in_turn.compile_in_turn({folder.name!r})"
        words = [sys.executable, "-c", f"{turns}; import worked; worked.{what}"]
        config.add_cleanup(subprocess.Popen(words, env=surroundings).wait)


class FromTheEnd(pytest.Dir):
    """A folder whose tests are looked for from its end."""

    def collect(self):
        return reversed(list(super().collect()))


def _from_the_end(config):
    """True for every other worker: two that meet halfway find half of all tests and modules already compiled by the
    other, and in a fresh clone that is what takes longest before the first test."""
    return int(getattr(config, "workerinput", {}).get("workerid", "gw0")[2:]) % 2 == 1


def pytest_collect_directory(path, parent):
    gc.disable()  # until all are found: what is found lives on
    return FromTheEnd.from_parent(parent, path=path) if _from_the_end(parent.config) else None


FIRST, WAITING = ("advice", "borders"), ("studio", "lesson", "cli", "book")
"""Rooms whose tests the first worker begins with, while what others need is being compiled; and those whose tests wait
for a browser, a studio or a command. They come after the first, so that one worker at a time waits and the others keep
the processor busy meanwhile: at the end of the run two waited, and a fifth of both cores lay idle."""


def _turn(item):
    parts = item.path.relative_to(HERE).parts
    return 0 if parts[0] in FIRST else 1 if parts[0] in WAITING else 2, parts


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """All workers have the same tests in the same order, in whatever order files were named."""
    if hasattr(config, "workerinput"):
        items.sort(key=_turn)


def pytest_collection_finish(session):
    """What some thousand tests were found as lives to the end: it is not looked through for rubbish again and again."""
    gc.enable()
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)


def pytest_addoption(parser):
    parser.addoption("--handbooks", action="store_true", help="print every comparison with the old handbooks")


def pytest_terminal_summary(terminalreporter):
    reports = [r for kind in ("passed", "failed") for r in terminalreporter.getreports(kind)]
    eased = [value for report in reports for name, value in report.user_properties if name == "reading ease"]
    if eased:
        terminalreporter.section("reading ease of the student's pages (Flesch; 60 plain, 80 easy)")
        terminalreporter.write_line("; ".join(eased))
    if not any(report.nodeid.startswith("tests/plans/test_handbooks.py") for report in reports):
        return
    import handbook_page
    import handbooks

    rows = handbooks.comparisons()
    apart = [row for row in rows if not row.within]
    terminalreporter.section("handbooks")
    terminalreporter.write_line(f"{len(rows)} figures compared, {len(apart)} disagree (docs/handbooks.md)")
    if terminalreporter.config.getoption("--handbooks"):
        for line in handbook_page.lines():
            terminalreporter.write_line(line)


def _example(name):
    @pytest.fixture
    def design():
        return example(name)

    return design


estuary, posy, quayside = _example("estuary"), _example("posy"), _example("quayside")
saltmarsh = _example("saltmarsh")
