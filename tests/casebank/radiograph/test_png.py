"""Our own packing of pictures, read back by another program and by the format's rules."""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from casebank.radiograph.png import BLOCK_ROWS, grey_png


def noise(rows, columns):
    return np.random.default_rng(rows).integers(0, 256, (rows, columns), dtype=np.uint8)


@pytest.mark.parametrize(
    ("rows", "columns"),
    [(1, 1), (64, 65), (BLOCK_ROWS, 64), (BLOCK_ROWS + 1, 7), (3 * BLOCK_ROWS - 1, 300)],
)
@pytest.mark.parametrize("threads", [1, 2])
def test_another_program_reads_the_very_pixels(rows, columns, threads):
    pixels = noise(rows, columns)
    with Image.open(io.BytesIO(grey_png(pixels, {}, 0.03, threads=threads))) as picture:
        assert picture.mode == "L"
        assert np.array_equal(np.asarray(picture), pixels)


def test_every_chunk_has_its_length_and_check_sum_and_the_picture_ends_the_file():
    content = grey_png(noise(300, 40), {"Title": "A title"}, 0.05)
    assert content[:8] == bytes([137, 80, 78, 71, 13, 10, 26, 10])  # the standard's signature
    at, kinds = 8, []
    while at < len(content):
        (length,) = struct.unpack(">I", content[at : at + 4])
        kind, inside = content[at + 4 : at + 8], content[at + 8 : at + 8 + length]
        assert struct.unpack(">I", content[at + 8 + length : at + 12 + length])[0] == zlib.crc32(kind + inside)
        kinds.append(kind)
        at += 12 + length
    assert kinds == [b"IHDR", b"pHYs", b"tEXt", b"IDAT", b"IEND"]
    assert at == len(content)


def test_texts_and_the_distance_of_pixels_come_back():
    with Image.open(io.BytesIO(grey_png(noise(9, 9), {"Title": "±20°", "Warning": "none"}, 0.0254))) as picture:
        assert picture.text == {"Title": "±20°", "Warning": "none"}
        assert picture.info["dpi"] == pytest.approx((1000, 1000), rel=1e-3)  # 25.4 / 0.0254


def test_a_text_the_format_cannot_hold_is_refused():
    with pytest.raises(UnicodeEncodeError):
        grey_png(noise(9, 9), {"Title": "1 → 2"}, 0.03)


def test_a_smooth_picture_takes_less_than_two_bits_a_pixel():
    ramp = np.tile(np.linspace(0, 255, 600).astype(np.uint8), (400, 1))
    assert 8 * len(grey_png(ramp, {}, 0.03)) < 2 * ramp.size  # its steps are 0 or 1, and noise would take 8
