"""Puts PDF objects into a file: classic cross-reference table, no clock, an id made of the content.

Source: ISO 32000-1:2008, sections 7.3 (objects), 7.5 (file structure) and 14.4 (file identifiers).
"""

import hashlib
import re
import zlib
from collections.abc import Mapping

_PLAIN = re.compile(r"[A-Za-z0-9_.+-]")
_HEADER = b"%PDF-1.6\n%\xe2\xe3\xcf\xd3\n"


class PdfObjects:
    """Numbered objects, gathered in order and written at once."""

    def __init__(self) -> None:
        self._bodies: list[bytes] = []

    def add(self, body: str | bytes) -> str:
        """The reference, e.g. "3 0 R", of one more object."""
        self._bodies.append(body.encode("ascii") if isinstance(body, str) else body)
        return f"{len(self._bodies)} 0 R"

    def add_stream(self, data: bytes, entries: str = "", *, is_packed: bool = True) -> str:
        """The reference of a stream; `entries` are further lines of its dictionary."""
        packed = zlib.compress(data, 6) if is_packed else data
        filtered = "/Filter /FlateDecode " if is_packed else ""
        head = f"<< {entries}{' ' if entries else ''}{filtered}/Length {len(packed)} >>\nstream\n"
        return self.add(head.encode("ascii") + packed + b"\nendstream")

    def file_bytes(self, root: str, info: str) -> bytes:
        """The whole file with that catalogue and information dictionary."""
        out = bytearray(_HEADER)
        offsets = []
        for number, body in enumerate(self._bodies, 1):
            offsets.append(len(out))
            out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
        identity = hashlib.sha256(out).hexdigest()[:32]
        start = len(out)
        count = len(self._bodies) + 1
        rows = "".join(f"{offset:010d} 00000 n \n" for offset in offsets)
        out += f"xref\n0 {count}\n0000000000 65535 f \n{rows}".encode("ascii")
        out += (
            f"trailer\n<< /Size {count} /Root {root} /Info {info} /ID [<{identity}> <{identity}>] >>\n"
            f"startxref\n{start}\n%%EOF\n"
        ).encode("ascii")
        return bytes(out)


def pdf_name(text: str) -> str:
    """The text as a name object, signs that a name may not hold written as #xx (section 7.3.5)."""
    data = text.encode("utf-8")
    return "/" + "".join(chr(b) if b < 128 and _PLAIN.match(chr(b)) else f"#{b:02X}" for b in data)


def pdf_text(text: str) -> str:
    """The text as a string object in UTF-16 with its mark (section 7.9.2.2)."""
    return f"<FEFF{text.encode('utf-16-be', 'replace').hex().upper()}>"


def pdf_number(value: float) -> str:
    """A number with up to eight decimals; PDF knows no exponents (section 7.3.3)."""
    text = f"{value:.8f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def pdf_dictionary(entries: Mapping[str, str]) -> str:
    """A dictionary of names to objects that are already written."""
    return f"<< {' '.join(f'{pdf_name(key)} {value}' for key, value in entries.items())} >>"
