"""Changes of a basket as tests of the bench make them."""

from __future__ import annotations

from slype.edit import apply
from slype.studio.bench import Bench


def titled(title: str) -> dict:
    return {"set": ["basket", "title"], "to": title}


def rows(count: int) -> dict:
    return {"set": ["band", 0, "rows"], "to": count}


def change(bench: Bench, basket, changes: list[dict], label: str, merge: str = "") -> None:
    bench.replace(basket, apply.apply(basket.text, changes).text, label, merge)
