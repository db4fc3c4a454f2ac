"""Pages of a PDF as a reader gets them: their words, where they stand, what a screen reader is told.

Read with PDFium, whose licence (BSD) nobody need ask about; pictures with Pillow.
"""

import io
from dataclasses import dataclass

import numpy as np
import pikepdf
import pypdfium2
from PIL import Image


@dataclass(frozen=True)
class Page:
    """One page: `text`; `wide`, `high` in points; `boxes` (k, 4) left, top, right, bottom of its runs of words, from
    the top left corner; `sizes` of its runs in points, as far as they are known; `pictures` the same boxes of images
    and drawings."""

    text: str
    wide: float
    high: float
    boxes: np.ndarray
    pictures: np.ndarray


def pages_of(pdf: bytes) -> list[Page]:
    """Every page of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    out = []
    for page in document:
        words = page.get_textpage()
        wide, high = page.get_size()
        runs = [words.get_rect(i) for i in range(words.count_rects())]
        boxes = np.array([(a, high - d, c, high - b) for a, b, c, d in runs]).reshape(-1, 4)
        drawn = [each.get_bounds() for each in page.get_objects() if each.type != 1]
        pictures = np.array([(a, high - d, c, high - b) for a, b, c, d in drawn]).reshape(-1, 4)
        text = words.get_text_range().replace("\ufffe", "").replace("\r\n", "\n")
        out.append(Page(text, wide, high, boxes, pictures))
    document.close()
    return out


def tags_of(pdf: bytes) -> list[tuple[str, str]]:
    """(kind, alternative text) of every structure element, in order."""
    with pikepdf.open(io.BytesIO(pdf)) as read:
        return [(str(tag.S)[1:], str(tag.get("/Alt", ""))) for tag in _below(read.Root.StructTreeRoot)]


def _below(tag):
    kids = tag.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from _below(kid)


def dots_of(picture: bytes) -> np.ndarray:
    """A PNG as dots (h, w, 3) of 0..255."""
    return np.asarray(Image.open(io.BytesIO(picture)).convert("RGB"))
