"""A bench to work at: a folder with a copy of the demo's design."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import BASKET


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder with one good design in it."""
    (tmp_path / "bowl.toml").write_text(BASKET, encoding="utf-8")
    return tmp_path
