"""A small picture of a few colours as PNG: the open standard from memory, read back by another decoder in the tests."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange

SIGNATURE = b"\x89PNG\r\n\x1a\n"
MOST_SIDE = 20_000


def png(picture: NDArray[np.uint8], colours: Sequence[str]) -> bytes:
    """The PNG of a picture (rows, columns) whose numbers point into colours "#rrggbb", at most 256; always the same.

    Raises OutsideRange for an empty or vast picture, and for a number that has no colour.
    """
    rows, columns = picture.shape
    if not (0 < rows <= MOST_SIDE and 0 < columns <= MOST_SIDE):
        raise OutsideRange(f"a picture of {rows} x {columns} points cannot be drawn")
    if not 0 < len(colours) <= 256 or int(picture.max()) >= len(colours):
        raise OutsideRange(f"colour {int(picture.max())} of {len(colours)}: every number needs its colour")
    table = b"".join(bytes.fromhex(colour.removeprefix("#")) for colour in colours)
    lines = np.zeros((rows, columns + 1), dtype=np.uint8)  # each row begins with its filter: 0, none
    lines[:, 1:] = picture
    head = struct.pack(">IIBBBBB", columns, rows, 8, 3, 0, 0, 0)
    parts = (b"IHDR", head), (b"PLTE", table), (b"IDAT", zlib.compress(lines.tobytes(), 9)), (b"IEND", b"")
    return SIGNATURE + b"".join(_part(name, data) for name, data in parts)


def _part(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
