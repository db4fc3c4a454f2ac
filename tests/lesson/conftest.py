"""One lesson file of the demo's basket for all tests, and a way to open it as a student does: from a file, offline."""

from __future__ import annotations

import pytest
from browser import UNSEEN, quiet, wait_until
from lesson_page import Phones
from lessons import lesson_file, lesson_of
from places import EXAMPLE_NAMES

from slype.lesson.content import Lesson


@pytest.fixture(scope="session")
def demo() -> Lesson:
    return lesson_of("estuary")


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("lesson") / "bread basket.html"
    path.write_bytes(lesson_file("estuary"))
    return path


@pytest.fixture(scope="session")
def phones(chromium):
    """Browsers in the hand that were handed back (see `lesson_page.Phones`)."""
    return Phones(chromium)


@pytest.fixture
def hand_held(phones):
    """Opens a lesson: hand_held(file, width, height, **more) -> page, offline; what it complains of fails the test.

    Only where that is asked for is the basket `drawn`, dot by dot (see `browser.UNSEEN`).
    """

    def opened(file, width=390, height=844, wait: str = "drawn", init: str = "", drawn: bool = False, **more):
        page = phones.take(width, height, init if drawn else UNSEEN + init, **more)
        page.goto(f"file://{file}")
        wait_until(page, f"document.documentElement.dataset.{wait} === 'yes'")
        return page

    yield opened
    quiet(phones.come_back())


@pytest.fixture(scope="session")
def files(demo, demo_file, tmp_path_factory):
    """(lesson, its file) of every example."""
    here, out = tmp_path_factory.mktemp("lessons"), {"estuary": (demo, demo_file)}
    for name in EXAMPLE_NAMES[1:]:
        (here / f"{name}.html").write_bytes(lesson_file(name))
        out[name] = lesson_of(name), here / f"{name}.html"
    return out
