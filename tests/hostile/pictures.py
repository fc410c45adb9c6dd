"""PNG files written chunk by chunk, so that they can hold what no image library would write.

Layout by ISO/IEC 15948 (PNG): signature 5.2, chunks 5.3, IHDR 11.2.2, IDAT 11.2.4, tRNS 11.3.2.1.
"""

import struct
import zlib

GREY, COLOUR = 0, 2


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, depth: int, rows: bytes, *, colour: int = GREY, extra: bytes = b"") -> bytes:
    """A PNG whose filtered rows (each led by its filter byte) are given as they are."""
    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    body = chunk(b"IHDR", header) + extra + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def grey_png(samples: list[list[int]], depth: int, *, key: int | None = None) -> bytes:
    """A greyscale PNG of the samples at the depth, with one grey declared transparent if key is given."""
    rows = b""
    for line in samples:
        if depth == 16:
            rows += b"\0" + struct.pack(f">{len(line)}H", *line)
            continue
        bits = "".join(format(sample, f"0{depth}b") for sample in line)
        bits += "0" * (-len(bits) % 8)
        rows += b"\0" + int(bits, 2).to_bytes(len(bits) // 8, "big")
    extra = chunk(b"tRNS", struct.pack(">H", key)) if key is not None else b""
    return png(len(samples[0]), len(samples), depth, rows, extra=extra)
