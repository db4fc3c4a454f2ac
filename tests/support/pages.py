"""Pages of a PDF as a reader gets them: their words, where they stand, what a screen reader is told.

Read with PDFium, whose licence (BSD) nobody need ask about; pictures with Pillow.
"""

import functools
import io
from dataclasses import dataclass

import numpy as np
import pikepdf
import pypdfium2
from PIL import Image


@dataclass(frozen=True)
class Page:
    """One page: `text`; `wide`, `high` in points; `boxes` (k, 4) left, top, right, bottom of its runs of words, from
    the top left corner; `pictures` the same boxes of images and drawings, looked for where a test asks for them."""

    text: str
    wide: float
    high: float
    boxes: np.ndarray
    pdf: bytes
    at: int

    @functools.cached_property
    def pictures(self) -> np.ndarray:
        document = pypdfium2.PdfDocument(self.pdf)
        drawn = [each.get_bounds() for each in document[self.at].get_objects() if each.type != 1]
        document.close()
        return _from_the_top(drawn, self.high)


@functools.lru_cache(maxsize=16)
def pages_of(pdf: bytes) -> tuple[Page, ...]:
    """Every page of a PDF. They are shared: no test may change them."""
    document = pypdfium2.PdfDocument(pdf)
    out = []
    for at, page in enumerate(document):
        words = page.get_textpage()
        wide, high = page.get_size()
        boxes = _from_the_top([words.get_rect(i) for i in range(words.count_rects())], high)
        text = words.get_text_range().replace("\ufffe", "").replace("\r\n", "\n")
        out.append(Page(text, wide, high, boxes, pdf, at))
    document.close()
    return tuple(out)


def _from_the_top(bounds: list[tuple[float, float, float, float]], high: float) -> np.ndarray:
    """Boxes (k, 4) measured from a page's top, of bounds measured from its foot."""
    boxes = np.array([(a, high - d, c, high - b) for a, b, c, d in bounds]).reshape(-1, 4)
    boxes.flags.writeable = False
    return boxes


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
