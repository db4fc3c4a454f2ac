"""A basket in space, packed for a file: the same lines as `draw.solid`, every number as small as an eye allows.

Form (gzip, then base64 in the page; see page/unpack.js): the header's length (uint32, little endian), the header (JSON
in UTF-8), then for the k points, byte plane after byte plane: x, y, z as steps from the point before (uint16, wrapping;
low bytes, then high bytes), the moment that lays each (whole moment, likewise), and its share of that moment (uint8).
"""

from __future__ import annotations

import base64
import gzip
import json
import struct

import numpy as np

STEPS = 65535
"""Steps to the longest side of the basket: for one of half a metre a step is 8 thousandths of a millimetre."""
SHARES = 255


def packed(header: dict, points: np.ndarray, when: np.ndarray) -> bytes:
    """`points` (k, 3) mm and `when` (k,), in moments done, as bytes; within half a step of what they were."""
    low = points.min(axis=0)
    step = float((points.max(axis=0) - low).max()) / STEPS or 1.0
    whole = np.ceil(when)
    # A point that is laid within a moment must not show before it has begun: its share is at least one step.
    share = np.clip(np.ceil((when - whole + 1) * SHARES - 1e-6), 1, SHARES).astype(np.uint8)
    columns = [*np.rint((points - low) / step).T, whole]
    planes = [np.diff(column.astype(np.int64), prepend=0).astype(np.uint16) for column in columns]
    words = json.dumps(
        {**header, "low": low.tolist(), "step": step, "shares": SHARES}, ensure_ascii=False, separators=(",", ":")
    ).encode()
    split = [part.astype(np.uint8).tobytes() for plane in planes for part in (plane & 255, plane >> 8)]
    return b"".join((struct.pack("<I", len(words)), words, *split, share.tobytes()))


def in_page(raw: bytes) -> str:
    """Bytes as a page may carry them in a script element: gzip, then base64."""
    return base64.b64encode(gzip.compress(raw, 9, mtime=0)).decode()
