"""The basket in the round as tests show it: what its page may ask for, its dots, and where they have a hue."""

from __future__ import annotations

import base64
from pathlib import Path

import numpy as np

from slype.colour import oklab_from_rgb, rgb_of
from slype.draw.solid import packed, solid, unpacked
from slype.lay.laying import lay
from slype.order.moments import moments

HTML = (
    b'<!doctype html><meta charset="utf-8"><title>Basket</title><link rel="stylesheet" href="page.css">'
    b'<script type="module" src="page.js"></script>'
)


CSS = b"html, body { margin: 0; height: 100% } canvas { display: block; width: 100vw; height: 100vh }"


UNLIT = "scene.light.send = () => {}, window.lit = () => {}"
"""Has a page's baskets stand in even light: what of the sky reaches each place is reckoned by none, which takes most of
the time where nothing is asked about it."""


NEAR = 0.12  # rad between hues that are the same: light on a reed hardly turns its hue


SEEN = 0.01  # of the picture: a colour of the wall covers more than this


def with_times(raw: bytes, seconds: int = 100) -> bytes:
    """The same solid with its points laid one after the other, the first a little after moment 0."""
    header, points, _ = unpacked(raw)
    when = (np.arange(len(points)) + 1) / len(points) * seconds
    return packed({**header, "moments": seconds}, points, when)


def files(design) -> dict[str, bytes]:
    """What the page may ask for. Each basket is worked once, whatever tests show of it."""
    name = f"scene {design.title} {design.hand}"
    if name not in WORKED:
        laid = lay(design)
        plain = solid(laid, revision=3)
        WORKED[name] = {
            "index.html": HTML,
            "page.css": CSS,
            "page.js": (Path(__file__).with_name("scene_page.js")).read_bytes(),
            "plain": plain,
            "timed": with_times(plain),
            "relaxed": solid(laid, revision=3, form="relaxed"),
            "ordered": solid(laid, revision=3, order=moments(laid)),
        }
    return WORKED[name]


WORKED: dict[str, dict[str, bytes]] = {}


def dots(page, after: str = "") -> np.ndarray:
    """(h, w, 4) of 0 to 255; `after` something is done in the page, before the page draws that by itself."""
    found = page.evaluate(f"({after or 0}, dots())")
    return np.frombuffer(base64.b64decode(found["dots"]), np.uint8).reshape(found["high"], found["wide"], 4)


def of_hue(picture: np.ndarray, colour: str) -> np.ndarray:
    """True (h, w) where dots have the hue of a colour, and are neither much greyer than it nor nearly black."""
    _, a, b = oklab_from_rgb(rgb_of(colour))
    rgb = picture[:, :, :3] / 255.0
    seen = np.unique((rgb * 31).round().astype(int).reshape(-1, 3), axis=0)
    lab = np.array([oklab_from_rgb(tuple(each / 31)) for each in seen])
    off = np.abs(np.angle(np.exp(1j * (np.arctan2(lab[:, 2], lab[:, 1]) - np.arctan2(b, a)))))
    good = (off < NEAR) & (np.hypot(lab[:, 1], lab[:, 2]) > 0.6 * np.hypot(a, b)) & (lab[:, 0] > 0.25)
    table = np.zeros((32, 32, 32), bool)
    table[tuple(seen[good].T)] = True
    return table[tuple(np.moveaxis((rgb * 31).round().astype(int), 2, 0))] & (picture[:, :, 3] > 250)


def far_apart(one: np.ndarray, other: np.ndarray) -> float:
    """Mean difference of two pictures, steps of 255."""
    return np.abs(one.astype(int) - other).mean()
