"""The 1-bit separation of a sheet: film-ready PNG and TIFF, written band by band.

Ink is black in both. Source: ISO/IEC 15948:2004, sections 11.2.2 (IHDR), 11.3.5.3 (pHYs); TIFF revision 6.0,
sections 2 (structure), 8 (baseline fields) and 11 (CCITT bilevel encodings, T.6).
"""

import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image
from shapely import MultiPolygon

from layout_core.errors import HandOffError
from layout_core.job.printing import LEAST_DPI, MOST_DPI
from layout_core.outputs.scanline import BAND_ROWS, bands
from layout_core.progress import Progress, no_progress
from layout_core.units import MM_PER_IN

MOST_PIXELS = 200_000
"""Pixels a side; a longer sheet needs a coarser separation. Invented."""

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_SHORT, _LONG, _RATIONAL = 3, 4, 5
_STRIP_OFFSETS, _STRIP_BYTE_COUNTS = 273, 279
_GROUP_4, _MIN_IS_WHITE, _INCH = 4, 0, 2


@dataclass(frozen=True, slots=True)
class Separation:
    """One plate in pixels: outline (y down, corner of the sheet at the origin), size, and resolution."""

    outline: MultiPolygon
    columns: int
    rows: int
    dpi: float


def separation(ink: MultiPolygon, width_mm: float, length_mm: float, dpi: float) -> Separation:
    """The plate of an ink, given in mm in the sheet frame as one valid area.

    The size is rounded to whole pixels; the ink is not stretched. Raises HandOffError for a resolution
    outside 72 to 4800 dpi, and for a plate of more than 200,000 pixels a side.
    """
    if not LEAST_DPI <= dpi <= MOST_DPI:
        raise HandOffError(f"a separation at {dpi:g} dpi cannot be made; it must be from 72 to 4800 dpi")
    scale = dpi / MM_PER_IN
    columns, rows = (max(1, round(side * scale)) for side in (width_mm, length_mm))
    if max(columns, rows) > MOST_PIXELS:
        raise HandOffError(
            f"a separation of {columns:,} x {rows:,} pixels is too large; choose fewer than {dpi:g} dpi"
        )
    return Separation(shapely.transform(ink, lambda xy: xy * scale), columns, rows, dpi)


def separation_png(plate: Separation, progress: Progress = no_progress) -> bytes:
    """The plate as a 1-bit greyscale PNG that states its resolution, ink black."""
    per_metre = round(plate.dpi * 1000.0 / MM_PER_IN)
    out = io.BytesIO()
    out.write(_SIGNATURE)
    _chunk(out, b"IHDR", struct.pack(">IIBBBBB", plate.columns, plate.rows, 1, 0, 0, 0, 0))
    _chunk(out, b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))
    packer = zlib.compressobj(6)
    for band in _bands(plate, progress):
        # each row begins with its filter type, none
        rows = np.hstack([np.zeros((len(band), 1), dtype=np.uint8), ~band])
        packed = packer.compress(rows.tobytes())
        if packed:
            _chunk(out, b"IDAT", packed)
    _chunk(out, b"IDAT", packer.flush())
    _chunk(out, b"IEND", b"")
    return out.getvalue()


def separation_tiff(plate: Separation, progress: Progress = no_progress) -> bytes:
    """The plate as a 1-bit TIFF, CCITT group 4, min-is-white (the usual polarity of film), ink black."""
    strips = [_group4(band, plate.columns) for band in _bands(plate, progress)]
    offsets = np.cumsum([8, *(len(strip) for strip in strips)]).tolist()
    body = b"".join(strips)
    if offsets[-1] % 2:
        body += b"\0"
    directory = _directory(plate, offsets[:-1], [len(strip) for strip in strips], 8 + len(body))
    return b"II*\0" + struct.pack("<I", 8 + len(body)) + body + directory


def _bands(plate: Separation, progress: Progress) -> Iterator[NDArray[np.uint8]]:
    return bands(plate.outline, plate.columns, plate.rows, progress)


def _chunk(out: io.BytesIO, kind: bytes, data: bytes) -> None:
    out.write(struct.pack(">I", len(data)) + kind + data)
    out.write(struct.pack(">I", zlib.crc32(data, zlib.crc32(kind))))


def _group4(band: NDArray[np.uint8], columns: int) -> bytes:
    """The band as one group 4 strip in which 1 is ink.

    Pillow writes a whole small TIFF; only its one strip is kept, as its own header is of the other polarity.
    """
    picture = Image.frombytes("1", (columns, len(band)), band.tobytes())
    whole = io.BytesIO()
    picture.save(whole, "TIFF", compression="group4", strip_size=max(1, band.nbytes))
    data = whole.getvalue()
    tags = _tags(data)
    start, length = tags[_STRIP_OFFSETS], tags[_STRIP_BYTE_COUNTS]
    return data[start : start + length]


def _tags(data: bytes) -> dict[int, int]:
    """Tag to value of the first directory, as far as it stands in the entry itself."""
    order = "<" if data[:2] == b"II" else ">"
    (at,) = struct.unpack_from(f"{order}I", data, 4)
    (count,) = struct.unpack_from(f"{order}H", data, at)
    tags = {}
    for number in range(count):
        tag, kind, _, value = struct.unpack_from(f"{order}HHII", data, at + 2 + 12 * number)
        if kind == _SHORT:
            (value,) = struct.unpack_from(f"{order}H", data, at + 2 + 12 * number + 8)
        tags[tag] = value
    return tags


def _directory(plate: Separation, offsets: list[int], lengths: list[int], start: int) -> bytes:
    """The image file directory with its long values behind it."""
    hundredths = round(plate.dpi * 100)
    count = len(offsets)
    values: list[tuple[int, int, int, bytes]] = [
        (256, _LONG, 1, struct.pack("<I", plate.columns)),
        (257, _LONG, 1, struct.pack("<I", plate.rows)),
        (258, _SHORT, 1, struct.pack("<I", 1)),
        (259, _SHORT, 1, struct.pack("<I", _GROUP_4)),
        (262, _SHORT, 1, struct.pack("<I", _MIN_IS_WHITE)),
        (_STRIP_OFFSETS, _LONG, count, struct.pack(f"<{count}I", *offsets)),
        (277, _SHORT, 1, struct.pack("<I", 1)),
        (278, _LONG, 1, struct.pack("<I", BAND_ROWS)),
        (_STRIP_BYTE_COUNTS, _LONG, count, struct.pack(f"<{count}I", *lengths)),
        (282, _RATIONAL, 1, struct.pack("<II", hundredths, 100)),
        (283, _RATIONAL, 1, struct.pack("<II", hundredths, 100)),
        (293, _LONG, 1, struct.pack("<I", 0)),
        (296, _SHORT, 1, struct.pack("<I", _INCH)),
    ]
    behind = start + 2 + 12 * len(values) + 4
    entries, extra = b"", b""
    for tag, kind, number, data in values:
        if len(data) > 4:
            entry = struct.pack("<I", behind + len(extra))
            extra += data
        else:
            entry = data.ljust(4, b"\0")
        entries += struct.pack("<HHI", tag, kind, number) + entry
    return struct.pack("<H", len(values)) + entries + struct.pack("<I", 0) + extra
