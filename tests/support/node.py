"""A Node to run the page's own modules in: the machine's, or the one that the browser driver's wheel brings."""

from __future__ import annotations

import importlib.util
import shutil
from pathlib import Path

import pytest


def node() -> str:
    """The path of a Node; the test is skipped where there is none."""
    found = shutil.which("node")
    driver = importlib.util.find_spec("playwright")
    if not found and driver is not None:
        folder = Path(driver.origin).parent / "driver"
        found = next((str(folder / name) for name in ("node", "node.exe") if (folder / name).is_file()), None)
    if not found:
        pytest.skip("no Node on this machine")
    return found
