"""Colours of reed: names, spaces, differences, and what colour-blind eyes make of them.

A colour travels through slype as text, `#rrggbb` in lower case. Inside this room:
  rgb     three numbers 0..1, sRGB as a screen takes them (IEC 61966-2-1)
  linear  the same as amounts of light
  lab     CIELAB under daylight D65, for measuring differences (Sharma, Wu, Dalal 2005)
  oklab   B. Ottosson's space (2020), for making a colour lighter or darker without changing its hue
Only plain numbers, no arrays: a design has a handful of colours and this must import at once.
"""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass
from typing import NamedTuple

from .errors import DesignError, did_you_mean

Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]


# --- names -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ReedColour:
    """One named colour. The values are slype's own, to look like dyed reed; a screen is no dye chart."""

    name: str
    hex: str
    help: str


_ALL = (
    ReedColour("natural", "#dcc39a", "undyed reed, as it comes from the coil"),
    ReedColour("ivory", "#efe4cb", "bleached or very pale reed"),
    ReedColour("sand", "#c8a672", "a light warm tan"),
    ReedColour("honey", "#cf9440", "undyed reed under a warm finish"),
    ReedColour("smoke", "#a39685", "reed gone grey-brown, as if smoked"),
    ReedColour("ochre", "#b98326", "earthy yellow"),
    ReedColour("straw", "#dcbc55", "clear pale yellow"),
    ReedColour("copper", "#b4662f", "bright orange-brown"),
    ReedColour("rust", "#9a4a26", "red-brown of old iron"),
    ReedColour("brick", "#8c3a2f", "dull red, as of fired clay"),
    ReedColour("madder", "#a32f34", "red of madder root"),
    ReedColour("rose", "#c4808a", "soft pink"),
    ReedColour("plum", "#5f3150", "dark red-violet"),
    ReedColour("heather", "#8a769c", "greyed violet"),
    ReedColour("indigo", "#2b3a67", "dark vat blue"),
    ReedColour("river", "#4a78a0", "middle blue"),
    ReedColour("slate", "#5a6672", "blue-grey"),
    ReedColour("teal", "#2c6e6c", "blue-green"),
    ReedColour("sage", "#93a07a", "pale grey-green"),
    ReedColour("moss", "#66702f", "yellow-green"),
    ReedColour("fern", "#3f6b3a", "full leaf green"),
    ReedColour("walnut", "#5b3d28", "dark brown of walnut hulls"),
    ReedColour("bark", "#3d2c22", "nearly black brown"),
    ReedColour("charcoal", "#353433", "black reed, which is never quite black"),
)
REED_COLOURS: dict[str, ReedColour] = {colour.name: colour for colour in _ALL}

_HEX = re.compile(r"#[0-9a-f]{6}")


def hex_of(text: object, where: str = "") -> str:
    """`#rrggbb` in lower case, from a name in the table or from `#rrggbb` itself.

    Raises DesignError, naming `where`, for anything else.
    """
    word = text.strip().lower() if isinstance(text, str) else ""
    if word in REED_COLOURS:
        return REED_COLOURS[word].hex
    if _HEX.fullmatch(word):
        return word
    shown = f"{text!r:.40}"
    if not word or word.startswith("#"):
        raise DesignError(
            f"{shown} is not a colour.",
            where,
            'Write a name such as "rust", or # and six of 0-9 a-f, such as "#9a4a26".',
        )
    remedy = did_you_mean(word[:40], REED_COLOURS)  # a hostile file must not cost time
    raise DesignError(f"{shown} is not a colour I know.", where, remedy + ' Or write it as "#rrggbb".')


def rgb_of(hex_text: str) -> Triple:
    """Screen values 0..1 of a colour given as `#rrggbb` or by name."""
    digits = hex_of(hex_text)
    return int(digits[1:3], 16) / 255, int(digits[3:5], 16) / 255, int(digits[5:7], 16) / 255


def hex_from_rgb(rgb: Triple) -> str:
    """`#rrggbb` from screen values; what lies outside 0..1 is cut off."""
    return "#" + "".join(f"{round(255 * min(1.0, max(0.0, value))):02x}" for value in rgb)


# --- spaces ------------------------------------------------------------------------------------

_XYZ_FROM_LINEAR: Matrix = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
_CONE_FROM_LINEAR: Matrix = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
_OKLAB_FROM_CONE_ROOT: Matrix = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)


def _apply(matrix: Matrix, v: Triple) -> Triple:
    x, y, z = (row[0] * v[0] + row[1] * v[1] + row[2] * v[2] for row in matrix)
    return x, y, z


def _inverse(m: Matrix) -> Matrix:
    """Inverse by cofactors: computed, because the published inverses are rounded and drift."""
    (a, b, c), (d, e, f), (g, h, i) = m
    det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return (
        ((e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det),
        ((f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det),
        ((d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det),
    )


# The white of that matrix, not D65 to more digits: so a grey is exactly a grey.
_WHITE_XYZ = _apply(_XYZ_FROM_LINEAR, (1.0, 1.0, 1.0))
_LINEAR_FROM_CONE = _inverse(_CONE_FROM_LINEAR)
_CONE_ROOT_FROM_OKLAB = _inverse(_OKLAB_FROM_CONE_ROOT)


def linear_from_rgb(rgb: Triple) -> Triple:
    """Amounts of light from screen values (IEC 61966-2-1)."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb)
    return r, g, b


def rgb_from_linear(linear: Triple) -> Triple:
    """Screen values from amounts of light; the other way round of `linear_from_rgb`."""
    r, g, b = (c * 12.92 if c <= 0.04045 / 12.92 else 1.055 * c ** (1 / 2.4) - 0.055 for c in linear)
    return r, g, b


def lab_from_rgb(rgb: Triple) -> Triple:
    """CIELAB (L, a, b) under D65."""
    edge = 6 / 29
    xyz = _apply(_XYZ_FROM_LINEAR, linear_from_rgb(rgb))
    parts = [value / white for value, white in zip(xyz, _WHITE_XYZ, strict=True)]
    x, y, z = (math.cbrt(t) if t > edge**3 else t / (3 * edge**2) + 4 / 29 for t in parts)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def oklab_from_rgb(rgb: Triple) -> Triple:
    """Oklab (L, a, b)."""
    long, middle, short = _apply(_CONE_FROM_LINEAR, linear_from_rgb(rgb))
    return _apply(_OKLAB_FROM_CONE_ROOT, (math.cbrt(long), math.cbrt(middle), math.cbrt(short)))


def _linear_from_oklab(oklab: Triple) -> Triple:
    long, middle, short = _apply(_CONE_ROOT_FROM_OKLAB, oklab)
    return _apply(_LINEAR_FROM_CONE, (long**3, middle**3, short**3))


def rgb_from_oklab(oklab: Triple) -> Triple:
    """Screen values from Oklab; may lie outside 0..1 when no screen can show the colour."""
    return rgb_from_linear(_linear_from_oklab(oklab))


# --- differences -------------------------------------------------------------------------------


def delta_e_2000(lab1: Triple, lab2: Triple) -> float:
    """CIEDE2000 difference of two Lab colours: about 1 is just seen side by side (Sharma, Wu, Dalal 2005)."""
    light1, a1, b1 = lab1
    light2, a2, b2 = lab2
    mean_ab7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * math.sqrt(mean_ab7 / (mean_ab7 + 25.0**7))  # greys lie too close in a
    chroma1, hue1 = _chroma_and_hue(stretch * a1, b1)
    chroma2, hue2 = _chroma_and_hue(stretch * a2, b2)
    turn, hue = _turn_and_mean(hue1, hue2)  # of a grey: no matter, d_hue is nought then
    light, chroma = (light1 + light2) / 2, (chroma1 + chroma2) / 2
    hue_weight = (
        1
        - 0.17 * math.cos(math.radians(hue - 30))
        + 0.24 * math.cos(math.radians(2 * hue))
        + 0.32 * math.cos(math.radians(3 * hue + 6))
        - 0.20 * math.cos(math.radians(4 * hue - 63))
    )
    from_middle = (light - 50) ** 2
    d_light = (light2 - light1) / (1 + 0.015 * from_middle / math.sqrt(20 + from_middle))
    d_chroma = (chroma2 - chroma1) / (1 + 0.045 * chroma)
    d_hue = 2 * math.sqrt(chroma1 * chroma2) * math.sin(math.radians(turn / 2))
    d_hue /= 1 + 0.015 * chroma * hue_weight
    chroma7 = chroma**7
    blue_angle = 60 * math.exp(-(((hue - 275) / 25) ** 2))  # the blues are skewed
    skew = -2 * math.sqrt(chroma7 / (chroma7 + 25.0**7)) * math.sin(math.radians(blue_angle))
    return math.sqrt(max(0.0, d_light**2 + d_chroma**2 + d_hue**2 + skew * d_chroma * d_hue))


def _chroma_and_hue(a: float, b: float) -> tuple[float, float]:
    return math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360


def _turn_and_mean(hue1: float, hue2: float) -> tuple[float, float]:
    """The shorter way from one hue to the other, and the hue half-way along it (degrees)."""
    turn = hue2 - hue1
    mean = (hue1 + hue2) / 2
    if abs(turn) <= 180:
        return turn, mean
    turn += -360 if turn > 0 else 360
    return turn, mean + 180 if mean < 180 else mean - 180


# --- other eyes --------------------------------------------------------------------------------

# Machado, Oliveira, Fernandes (2009), severity 1.0; they act on amounts of light.
CVD_MATRICES: dict[str, Matrix] = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
EYES: dict[str, str] = {
    "normal": "full colour vision",
    "protan": "red-blind eyes",
    "deutan": "green-blind eyes",
    "tritan": "blue-blind eyes",
}


def seen_by(rgb: Triple, eyes: str) -> Triple:
    """Screen values that show full colour vision what `eyes` (a key of EYES) make of `rgb`."""
    if eyes == "normal":
        return rgb
    light = _apply(CVD_MATRICES[eyes], linear_from_rgb(rgb))
    r, g, b = (min(1.0, max(0.0, c)) for c in light)  # no screen shows more
    return rgb_from_linear((r, g, b))


class Closeness(NamedTuple):
    """The smallest difference of two colours over all EYES, and the eyes (a key) that see it."""

    delta_e: float
    eyes: str


@functools.lru_cache(maxsize=512)
def hard_to_tell_apart(hex_a: str, hex_b: str) -> Closeness:
    """How close two colours come for the eyes that find them hardest: CIEDE2000, small is hard."""
    one, other = rgb_of(hex_a), rgb_of(hex_b)
    return min(
        Closeness(delta_e_2000(lab_from_rgb(seen_by(one, eyes)), lab_from_rgb(seen_by(other, eyes))), eyes)
        for eyes in EYES
    )


# --- drawing -----------------------------------------------------------------------------------


def luminance(hex_text: str) -> float:
    """Relative luminance, 0 black to 1 white (the Y of sRGB)."""
    r, g, b = linear_from_rgb(rgb_of(hex_text))
    wr, wg, wb = _XYZ_FROM_LINEAR[1]
    return wr * r + wg * g + wb * b


def contrast(hex_a: str, hex_b: str) -> float:
    """Contrast ratio as web accessibility guidelines (WCAG 2) define it: 1 none, 21 black on white."""
    darker, lighter = sorted((luminance(hex_a), luminance(hex_b)))
    return (lighter + 0.05) / (darker + 0.05)


@functools.lru_cache(maxsize=512)
def label_colour(background_hex: str) -> str:
    """Black or white, whichever reads better as text on the background."""
    return max(("#000000", "#ffffff"), key=lambda ink: contrast(ink, background_hex))


@functools.lru_cache(maxsize=4096)
def shade(hex_text: str, factor: float) -> str:
    """The colour with its Oklab lightness times `factor`: below 1 darker, above 1 lighter, same hue.

    Darker is as in shadow: less colourful by the same factor. Lighter keeps its colourfulness; where no
    screen can show that, it is paled until one does, and white is the limit.
    """
    if not factor >= 0:
        raise ValueError(f"a shade factor is nought or more, not {factor}")
    light, a, b = oklab_from_rgb(rgb_of(hex_text))
    light = min(1.0, light * factor)
    a, b = a * min(1.0, factor), b * min(1.0, factor)
    too_much, fits = 1.0, 0.0  # bounds on the share of colourfulness that can stay
    if _shows(light, a, b):
        fits = 1.0
    else:
        for _ in range(12):  # 1/4096 of the colourfulness: below one step of a screen
            half = (too_much + fits) / 2
            too_much, fits = (too_much, half) if _shows(light, a * half, b * half) else (half, fits)
    return hex_from_rgb(rgb_from_oklab((light, a * fits, b * fits)))


def _shows(light: float, a: float, b: float) -> bool:
    """True when a screen can show this Oklab colour, give or take the rounding of the matrices."""
    return all(-1e-6 <= c <= 1 + 1e-6 for c in _linear_from_oklab((light, a, b)))
