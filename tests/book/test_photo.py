"""Measuring from photographs: pictures that the tests paint, with known lengths and rows, and files that mean harm."""

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PIL import Image

from slype.book.photo.images import MOST_SIDE, opened
from slype.book.photo.rhythm import count_rows
from slype.book.photo.scale import by_face, by_ruler
from slype.errors import DesignError, FileTrouble

CORNERS = [(0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0)]


def as_file(grey, kind="PNG", **more):
    out = io.BytesIO()
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(out, kind, **more)
    return out.getvalue()


def woven(rows, high=600, wide=200, noise=0.0, shade=0.0, low=40, top=560, seed=1):
    """Rows between `low` and `top` pixels, light on their backs; with noise and a shadow over them."""
    y = np.arange(high, dtype=float)[:, None]
    beat = 120 + 70 * np.cos(2 * np.pi * ((y - low) / (top - low) * rows - 0.5))
    grey = np.repeat(beat, wide, axis=1) + shade * (y / high - 0.5) * 100
    return grey + noise * np.random.default_rng(seed).normal(size=grey.shape)


# Lengths -------------------------------------------------------------------------------------------------------


@given(st.floats(10, 300), st.floats(0, 6.3), st.floats(0.5, 5))
def test_beside_a_ruler_lengths_go_by_its_scale(px, turn, mm_per_px):
    plane = by_ruler((10.0, 10.0), (110.0, 10.0), 100 * mm_per_px)
    length, off = plane.length((50.0, 60.0), (50.0 + px * np.cos(turn), 60.0 + px * np.sin(turn)))
    assert length == pytest.approx(px * mm_per_px)
    assert off >= 2 * mm_per_px


places = st.tuples(st.floats(0, 200), st.floats(0, 120))


@given(st.lists(st.floats(-0.15, 0.15), min_size=8, max_size=8), places, places)
def test_a_flat_face_seen_aslant_gives_back_its_lengths(bends, a, b):
    """A face of 200 by 120 mm goes into the picture by any projective map; its points come back from four corners."""
    shown = np.array([[3 + bends[0], bends[1], 90], [bends[2], 3 + bends[3], 60], [bends[6] / 300, bends[7] / 300, 1]])

    def seen(point):
        x, y, w = shown @ [*point, 1]
        return x / w, y / w

    assume(np.hypot(a[0] - b[0], a[1] - b[1]) > 1)
    plane = by_face([seen(each) for each in CORNERS], 200.0, 120.0)
    assert plane.length(seen(a), seen(b))[0] == pytest.approx(np.hypot(a[0] - b[0], a[1] - b[1]), rel=1e-6)


def test_clicks_two_pixels_off_stay_within_what_is_told():
    rng = np.random.default_rng(5)
    for _ in range(200):
        off = rng.uniform(-1.4, 1.4, size=(4, 2))
        plane = by_ruler((100 + off[0, 0], 50 + off[0, 1]), (500 + off[1, 0], 50 + off[1, 1]), 200.0)
        length, range_ = plane.length((120 + off[2, 0], 300 + off[2, 1]), (420 + off[3, 0], 300 + off[3, 1]))
        assert abs(length - 150.0) <= range_


@pytest.mark.parametrize(
    ("do", "said"),
    [
        (lambda: by_ruler((0, 0), (5, 0), 100), "too near each other"),
        (lambda: by_ruler((0, 0), (500, 0), 0.0), "no length a ruler shows"),
        (lambda: by_face(CORNERS[:3], 10, 10), "four corners"),
        (lambda: by_face([CORNERS[0], CORNERS[2], CORNERS[1], CORNERS[3]], 10, 10), "no four corners of a face"),
        (lambda: by_face([(0, 0), (50, 0), (100, 0), (150, 0)], 10, 10), "no four corners of a face"),
    ],
)
def test_points_that_say_nothing_are_refused(do, said):
    with pytest.raises(DesignError, match=said):
        do()


# Rows ----------------------------------------------------------------------------------------------------------


@given(st.integers(4, 60), st.floats(0, 25), st.floats(-1, 1), st.integers(0, 99))
def test_rows_are_counted_from_the_rhythm_of_their_brightness(rows, noise, shade, seed):
    counted = count_rows(woven(rows, noise=noise, shade=shade, seed=seed), (100, 40), (100, 560))
    assert counted.rows == pytest.approx(rows, abs=0.3)
    assert counted.sure


def test_where_there_is_no_rhythm_none_is_told():
    noise = 120 + 40 * np.random.default_rng(3).normal(size=(600, 200))
    assert not count_rows(noise, (100, 40), (100, 560)).sure
    assert count_rows(np.full((600, 200), 90.0), (100, 40), (100, 560)).rows == 0


def test_rows_with_a_dark_line_in_each_are_not_counted_twice():
    """A glint and a dark edge in every row beat twice as fast; the row's own beat is told."""
    grey = woven(14) + 85 * np.cos(4 * np.pi * (np.arange(600)[:, None] - 40) / 520 * 14)
    assert count_rows(grey, (100, 40), (100, 560)).rows == pytest.approx(14, abs=0.3)


@pytest.mark.parametrize(("a", "b", "said"), [((-5, 0), (9, 90), "outside"), ((5, 5), (8, 9), "too short")])
def test_a_line_that_cannot_be_counted_along_is_refused(a, b, said):
    with pytest.raises(DesignError, match=said):
        count_rows(woven(9), a, b)


# Files ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_photograph_is_opened_in_grey_and_its_rows_counted(kind):
    grey = opened(as_file(woven(20), kind))
    assert grey.shape == (600, 200)
    assert count_rows(grey, (100, 40), (100, 560)).rows == pytest.approx(20, abs=0.3)


def test_a_large_photograph_is_made_smaller_and_one_taken_sideways_turned():
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was held upright
    grey = opened(as_file(np.zeros((1500, 4000)), "JPEG", exif=exif))
    assert max(grey.shape) == MOST_SIDE and grey.shape[0] > grey.shape[1]


def png(wide, high, body=b""):
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "no photograph slype knows"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photograph slype knows"),
        (b"GIF89a" + bytes(200), "no photograph slype knows"),
        (png(60_000, 60_000, zlib.compress(bytes(1000))), "more pixels than any photograph"),
        (png(9_000, 9_200, zlib.compress(bytes(1000))), "more pixels than any photograph"),
        (png(4000, 4000, zlib.compress(bytes(1000))), "damaged"),
        (png(4, 4, zlib.compress(bytes(20))), "only 4 by 4"),
        (as_file(woven(20), "JPEG")[:900], "damaged"),
        (b"\xff\xd8\xff" + bytes(range(256)) * 9, "photograph"),
    ],
)
def test_a_file_that_is_no_photograph_or_means_harm_is_refused_in_a_sentence(raw, said):
    with pytest.raises(FileTrouble, match=said):
        opened(raw, "pot.jpg")


@given(st.integers(0, 10**6), st.sampled_from(["PNG", "JPEG", "WEBP"]))
def test_bytes_changed_at_random_open_or_are_refused_and_nothing_else(seed, kind):
    rng = np.random.default_rng(seed)
    raw = bytearray(as_file(woven(9, 120, 60, low=5, top=115), kind))
    for at in rng.integers(0, len(raw), 12):
        raw[at] = rng.integers(256)
    try:
        grey = opened(bytes(raw))
    except FileTrouble:
        return
    assert max(grey.shape) <= MOST_SIDE
