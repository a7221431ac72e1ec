"""Grey pictures as PNG (W3C Recommendation "Portable Network Graphics", third edition), packed in blocks side by side.

Films are noise, in which no run of bytes comes twice: each pixel is foretold as the average of those to its left and
above, what is left is coded by Huffman's method and short runs alone. That is smaller and quicker than a full search.
"""

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.threads import RENDER_THREADS, side_by_side

SIGNATURE = b"\x89PNG\r\n\x1a\n"
GREY, AVERAGE = 0, 3  # the standard's colour type and filter type
STREAM_HEADER = b"\x78\x01"  # deflate with a window of 32 kB, packed quickly
BLOCK_ROWS = 128


def grey_png(
    pixels: NDArray[np.uint8], texts: dict[str, str], pitch_mm: float, *, threads: int = RENDER_THREADS
) -> bytes:
    """A picture of 8-bit greys, shape (rows, columns), with texts (Latin-1) and its pixels' distance.

    Raises
    ------
    UnicodeEncodeError
        If a text holds a letter beyond Latin-1.
    """
    rows, columns = pixels.shape
    header = struct.pack(">IIBBBBB", columns, rows, 8, GREY, 0, 0, 0)
    per_metre = round(1000 / pitch_mm)
    chunks = [_chunk(b"IHDR", header), _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))]
    chunks += [_chunk(b"tEXt", name.encode("latin-1") + b"\0" + text.encode("latin-1")) for name, text in texts.items()]
    firsts = range(0, rows, BLOCK_ROWS)
    blocks = side_by_side(lambda first: _packed(pixels, first), firsts, threads=threads)
    checksum = 1
    for foretold, _ in blocks:
        checksum = zlib.adler32(foretold.data, checksum)
    stream = STREAM_HEADER + b"".join(packed for _, packed in blocks) + struct.pack(">I", checksum)
    return SIGNATURE + b"".join([*chunks, _chunk(b"IDAT", stream), _chunk(b"IEND", b"")])


def _packed(pixels: NDArray[np.uint8], first: int) -> tuple[NDArray[np.uint8], bytes]:
    """Some rows less what foretells them, and the same packed, ready to be followed by the next block's."""
    last = min(len(pixels), first + BLOCK_ROWS)
    here = pixels[first:last]
    above = np.zeros_like(here)
    above[1:] = here[:-1]
    if first:
        above[0] = pixels[first - 1]
    left = np.zeros_like(here)
    left[:, 1:] = here[:, :-1]
    foretold = np.empty((len(here), here.shape[1] + 1), dtype=np.uint8)
    foretold[:, 0] = AVERAGE
    foretold[:, 1:] = here - ((above & left) + ((above ^ left) >> 1))  # the average, rounded down, in eight bits
    packer = zlib.compressobj(1, zlib.DEFLATED, -zlib.MAX_WBITS, zlib.DEF_MEM_LEVEL, zlib.Z_RLE)
    end = zlib.Z_FINISH if last == len(pixels) else zlib.Z_FULL_FLUSH
    return foretold, packer.compress(foretold.data) + packer.flush(end)


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
