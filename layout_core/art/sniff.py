"""What a file is, told by its first bytes and never by its name; unpacks SVGZ within limits."""

import zlib
from typing import Literal

from layout_core.art import caps
from layout_core.art.refusal import OverLimit, Refused

Kind = Literal["svg", "png", "jpg", "pdf"]

_OTHERS = (
    (b"%!PS", "is PostScript (EPS); save it as PDF or SVG"),
    (b"\xc5\xd0\xd3\xc6", "is PostScript (EPS); save it as PDF or SVG"),
    (b"GIF8", "is a GIF; save it as PNG"),
    (b"BM", "is a bitmap file; save it as PNG"),
    (b"II*\x00", "is a TIFF; save it as PNG"),
    (b"MM\x00*", "is a TIFF; save it as PNG"),
    (b"8BPS", "is a layered picture; save it as PNG with a transparent background"),
    (b"PK\x03\x04", "is a zip archive; unpack it and add the art files in it"),
)

_PDF_WITHIN = 1024
"""Where a PDF may begin. Source: ISO 32000-1 annex H, implementation note 13 of Adobe's PDF Reference 1.7."""


def unpacked(data: bytes) -> bytes:
    """The bytes, gunzipped when they are gzip (SVGZ). Raises OverLimit for a bomb, Refused when cut."""
    if len(data) > caps.FILE_BYTES:
        raise OverLimit(f"is {len(data) / 1e6:.0f} MB; the limit is {caps.FILE_BYTES / 1e6:.0f} MB")
    if not data.startswith(b"\x1f\x8b"):
        return data
    most = min(caps.UNPACKED_BYTES, max(caps.UNPACK_FREE_BYTES, caps.UNPACK_RATIO * len(data)))
    unpacker = zlib.decompressobj(31)
    try:
        plain = unpacker.decompress(data, most + 1)
    except zlib.error as error:
        raise Refused("is a damaged SVGZ file; ask for it again") from error
    if len(plain) > most:
        raise OverLimit("unpacks to far more than an SVGZ drawing holds; it may be harmful")
    if not unpacker.eof:
        raise Refused("is an SVGZ file cut short; ask for it again")
    return plain


def kind_of(data: bytes) -> Kind:
    """Which of the kinds of art the unpacked bytes are; raises Refused saying what to do instead."""
    if not data:
        raise Refused("is empty")
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        raise Refused("is a WebP picture; save it as PNG")
    if b"%PDF-" in data[:_PDF_WITHIN]:
        return "pdf"
    for magic, advice in _OTHERS:
        if data.startswith(magic):
            raise Refused(advice)
    if _looks_like_xml(data):
        return "svg"
    raise Refused("is not an SVG, PDF, PNG or JPEG file")


def _looks_like_xml(data: bytes) -> bool:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or data[:4] in (b"<\x00?\x00", b"\x00<\x00?"):
        return True
    return data.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"<"
