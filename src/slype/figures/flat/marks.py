"""What is written on a drawing: numbers at spokes and in spaces, arrows along a reed's own path. Lengths mm of the
drawing; `unit` is what one mm on paper is there.
"""

from __future__ import annotations

import re

import numpy as np

from ...words import escape

FONT = "Libertinus Serif, DejaVu Serif, serif"
INK = "#1d1712"
NUMBER_MM, WORD_MM = 3.1, 3.0
"""Size on paper of numbers and words."""
HOLLOW = 0.52
"""How wide the white in a hollow dot is, as a share of the dot."""
DOT_MM = 0.6  # radius of the dot on a crossing that is named
RING = 0.78  # radius of the ring round a space's number, in sizes of the number


def number_size(text: str, unit: float) -> tuple[float, float]:
    """(width, height) of a number's patch."""
    return (0.36 + 0.5 * len(text)) * NUMBER_MM * unit, 1.1 * NUMBER_MM * unit


def number(x: float, y: float, text: str, unit: float, moves: bool = False) -> str:
    """A spoke's number on a white patch; of one that `moves` white on a dark one, as that is drawn dark."""
    size = NUMBER_MM * unit
    fill, ink = (INK, "#ffffff") if moves else ("#ffffff", INK)
    wide, _ = number_size(text, unit)
    return (
        f'<rect x="{x - wide / 2:.2f}" y="{y - size * 0.55:.2f}" width="{wide:.2f}" height="{size * 1.1:.2f}" '
        f'rx="{size * 0.2:.2f}" fill="{fill}" fill-opacity="0.9"/>' + _text(x, y + size * 0.34, text, size, ink)
    )


def ring_radius(text: str, unit: float) -> float:
    """Radius of the ring round a number."""
    return NUMBER_MM * unit * 0.92 * (RING + 0.14 * (len(text) - 1))


def ringed(x: float, y: float, text: str, unit: float, first: bool = False) -> str:
    """A space's number in a ring; that of space 1 on black."""
    size = NUMBER_MM * unit * 0.92
    r = ring_radius(text, unit)
    fill, ink = (INK, "#ffffff") if first else ("#ffffff", INK)
    return (
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}" fill="{fill}" stroke="{INK}" stroke-width="{size * 0.07:.2f}"/>'
        + _text(x, y + size * 0.34, text, size, ink)
    )


def word_size(text: str, unit: float) -> tuple[float, float]:
    """(width, height) of the patch of a few words."""
    return (0.47 * len(text) + 0.4) * WORD_MM * unit, 1.24 * WORD_MM * unit


def word(x: float, y: float, text: str, unit: float, anchor: str = "middle") -> str:
    """A few words on a white patch."""
    size = WORD_MM * unit
    wide, _ = word_size(text, unit)
    left = {"middle": x - wide / 2, "start": x - 0.2 * size, "end": x - wide + 0.2 * size}[anchor]
    return (
        f'<rect x="{left:.2f}" y="{y - size * 0.62:.2f}" width="{wide:.2f}" height="{size * 1.24:.2f}" '
        f'rx="{size * 0.2:.2f}" fill="#ffffff" fill-opacity="0.92"/>'
        + _text(x, y + size * 0.34, text, size, INK, anchor)
    )


def lead(tip: tuple[float, float], word: tuple[float, float], unit: float, dotted: bool = False) -> str:
    """A line from a few words to what they name, on white; `dotted` with a dot on that."""
    path = f"M{tip[0]:.2f} {tip[1]:.2f}L{word[0]:.2f} {word[1]:.2f}"
    dot = (
        f'<circle cx="{tip[0]:.2f}" cy="{tip[1]:.2f}" r="{DOT_MM * unit:.2f}" fill="{INK}" stroke="#ffffff" '
        f'stroke-width="{0.25 * unit:.2f}"/>'
    )
    return "".join(f'<path d="{path}" stroke="{ink}" stroke-width="{wide * unit:.2f}"/>'
                   for ink, wide in (("#ffffff", 0.8), (INK, 0.3))) + (dot if dotted else "")  # fmt: skip


RAISED, LOWERED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"), str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")


def with_fractions(text: str) -> str:
    """Fractions as one sign, as the words of the page have them: 1 1/2 as 1 ¹⁄₂."""
    return re.sub(r"\b(\d{1,2})/(\d{1,2})\b", lambda f: f"{f[1].translate(RAISED)}⁄{f[2].translate(LOWERED)}", text)


def _text(x: float, y: float, text: str, size: float, ink: str = INK, anchor: str = "middle") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}" font-family="{FONT}" font-size="{size:.2f}" '
        f'fill="{ink}">{escape(with_fractions(text))}</text>'
    )


def dots(x: np.ndarray, y: np.ndarray, unit: float, hollow: bool = False) -> str:
    """A dotted line along what lies behind something, on white; of `hollow` dots, each a small ring."""
    path = "M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in zip(x, y, strict=True))
    line = 0.9 * unit
    inks = ((INK, line), ("#ffffff", HOLLOW * line)) if hollow else ((INK, line),)
    dash = f'stroke-dasharray="{0.02 * line:.2f} {1.9 * line:.2f}"'
    return f'<path d="{path}" stroke="#ffffff" stroke-width="{1.5 * line:.2f}" stroke-linecap="round"/>' + "".join(
        f'<path d="{path}" stroke="{ink}" stroke-width="{wide:.2f}" stroke-linecap="round" {dash}/>'
        for ink, wide in inks)  # fmt: skip


def arrow(x: np.ndarray, y: np.ndarray, unit: float, hidden: np.ndarray | None = None) -> str:
    """A dashed arrow along a path with a white edge; dotted where it is `hidden` behind something."""
    if len(x) < 2 or float(np.hypot(np.ptp(x), np.ptp(y))) < 1e-6:
        return ""
    line = 0.4 * unit
    hop = np.r_[0.0, np.cumsum(np.hypot(np.diff(x), np.diff(y)))]
    # The head lies beyond the line, in the direction of its last stretch.
    head = min(2.6 * unit, hop[-1] * 0.45)
    base = hop[-1] - head
    bx, by = np.interp(base, hop, x), np.interp(base, hop, y)
    body = hop < base
    px, py = np.r_[x[body], bx], np.r_[y[body], by]
    dx, dy = x[-1] - bx, y[-1] - by
    long = max(float(np.hypot(dx, dy)), 1e-9)
    nx, ny = -dy / long * head * 0.42, dx / long * head * 0.42
    tip = f"M{x[-1]:.2f} {y[-1]:.2f}L{bx + nx:.2f} {by + ny:.2f}L{bx - nx:.2f} {by - ny:.2f}Z"
    path = "M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in zip(px, py, strict=True))
    out = [
        f'<path d="{path}" stroke="#ffffff" stroke-width="{line * 2.6:.2f}" stroke-linecap="round"/>',
        f'<path d="{tip}" fill="{INK}" stroke="#ffffff" stroke-width="{line * 0.7:.2f}"/>',
    ]
    gone = np.zeros(len(px), bool) if hidden is None else np.r_[hidden[body], hidden[body][-1:]][: len(px)]
    edges = np.flatnonzero(np.diff(gone.astype(int))) + 1
    for a, b in zip([0, *edges], [*edges, len(px)], strict=True):
        b = min(b + 1, len(px))
        part = "M" + "L".join(f"{u:.2f} {v:.2f}" for u, v in zip(px[a:b], py[a:b], strict=True))
        # Dashed, so that nobody takes it for one more rod.
        dash, gap = (0.1, 2.2) if gone[a] else (4.0, 2.6)
        dots = f' stroke-dasharray="{line * dash:.2f} {line * gap:.2f}"'
        out.append(f'<path d="{part}" stroke="{INK}" stroke-width="{line:.2f}" stroke-linecap="round"{dots}/>')
    return "".join(out)
