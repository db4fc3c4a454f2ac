"""The example class, worked once for all tests of this folder, and what is written of it."""

import shutil
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from unittest import mock

import pytest
from places import SOURCE

from slype.kit import worked as working
from slype.kit.cuts import cutting
from slype.kit.file.reader import load
from slype.kit.worked import work
from slype.paper import folder

EXAMPLE = SOURCE / "examples" / "class"
_cut = lru_cache(maxsize=64)(cutting.cut)


def cut_once():
    """As long as this goes on, the same pieces from the same reed are cut once for all classes that want them."""
    return mock.patch.object(working, "cut", _cut)


@pytest.fixture(scope="module", autouse=True)
def _each_cut_once():
    with cut_once():
        yield


@pytest.fixture(scope="session")
def read():
    """The example class as read."""
    return load(str(EXAMPLE / "class.toml"))


@pytest.fixture(scope="session")
def asked(read):
    """The example class, with little time for the solver: tests ask whether a plan is right, not whether it is best."""
    return replace(read.found, rules=replace(read.found.rules, seconds=1.0))


@pytest.fixture(scope="session")
def worked(asked):
    """The example class worked."""
    with cut_once():
        return work(asked)


@pytest.fixture(scope="session")
def pdf(worked):
    """Its folder as PDF."""
    return folder.make(worked)


@pytest.fixture
def class_folder(tmp_path) -> Path:
    """A folder of one's own with the example class in it, to spoil."""
    shutil.copytree(EXAMPLE, tmp_path / "class")
    return tmp_path / "class"
