"""A photograph opened with care: kinds, size and pixels are bounded before anything is decoded.

Theory
1. A picture file may be a bomb: few bytes that swell to gigabytes. The kind is told from the first bytes, the size in
   pixels from the header, and only then is it decoded, into grey of at most MOST_SIDE pixels a side (a JPEG
   straight to a smaller size). Pillow's own guard stands behind that, and its warning counts as a refusal.
2. What a camera wrote beside the picture (place, time, owner) is never kept: only the turn it was held at is heeded.
"""

from __future__ import annotations

import io
import struct
import warnings

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from ...errors import FileTrouble

KINDS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 60_000_000
MOST_PIXELS = 80_000_000
"""A quarter of a gigabyte once decoded, a little below Pillow's own guard. The studio's page sends smaller copies."""
MOST_SIDE = 2400
LEAST_SIDE = 32


def opened(raw: bytes, name: str = "the photograph") -> np.ndarray:
    """The picture as brightness (rows, columns), 0 to 255, the way up it was taken. Raises FileTrouble."""
    if len(raw) > MOST_BYTES:
        raise FileTrouble(f"is larger than any photograph ({MOST_BYTES // 1_000_000} MB).", name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with Image.open(io.BytesIO(raw), formats=KINDS) as picture:
                _check(picture, name)
                picture.draft("L", (MOST_SIDE, MOST_SIDE))
                turned = ImageOps.exif_transpose(picture).convert("L")
                turned.thumbnail((MOST_SIDE, MOST_SIDE))
                return np.asarray(turned, dtype=np.float64)
    except UnidentifiedImageError:
        raise FileTrouble("is no photograph slype knows.", name, "Give it as JPEG, PNG or WebP.") from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many(name) from None
    except (OSError, ValueError, SyntaxError, EOFError, struct.error, MemoryError, Warning, KeyError, IndexError):
        raise FileTrouble("is damaged, or no photograph.", name, "Take it again, or save it anew.") from None


def _check(picture: Image.Image, name: str) -> None:
    wide, high = picture.size
    if wide * high > MOST_PIXELS:
        raise _too_many(name)
    if min(wide, high) < LEAST_SIDE:
        raise FileTrouble(f"is only {wide} by {high} pixels.", name, "Take a larger one.")


def _too_many(name: str) -> FileTrouble:
    return FileTrouble(
        f"has more pixels than any photograph ({MOST_PIXELS // 1_000_000} million).", name, "Save it smaller."
    )
