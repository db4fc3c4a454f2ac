"""Makes the pictures of the README: `PYTHONPATH=src python docs/make_pictures.py`."""

from __future__ import annotations

from pathlib import Path

from slype.design.file.reader import load
from slype.draw import gallery, views
from slype.plans import planning
from slype.rest import relax

ROOT = Path(__file__).parent.parent
EXAMPLES, PICTURES = ROOT / "src" / "slype" / "examples", ROOT / "docs" / "pictures"
BASKETS = {
    "estuary": ("estuary", "outside"),
    "estuary-inside": ("estuary", "inside"),
    "saltmarsh": ("saltmarsh", "outside"),
}
GALLERY = ("Bases", "Wooden boards", "Handles and lids", "Outlines")
WIDTH = 1000


def make(names: tuple[str, ...] = ()) -> None:
    """All of them, or those named."""
    for name, (example, view) in BASKETS.items():
        if not names or name in names:
            design = load(EXAMPLES / f"{example}.toml")
            plan = planning.plan(design, relax.relax(design))
            (PICTURES / f"{name}.png").write_bytes(views.painted_png(plan, view, WIDTH))
    if not names or "gallery" in names:
        (PICTURES / "gallery.png").write_bytes(views.png(gallery.gallery(only=GALLERY), WIDTH))


if __name__ == "__main__":
    import sys

    make(tuple(sys.argv[1:]))
