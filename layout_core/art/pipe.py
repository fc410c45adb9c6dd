"""How the program and its worker talk: frames of one JSON object and byte strings, never pickles."""

import json
import struct
from collections.abc import Mapping, Sequence
from typing import IO, Any

_HEAD = struct.Struct("<4sI")
_MAGIC = b"DWF1"
_LONGEST_JSON = 4_000_000
_LONGEST_BLOB = 1_000_000_000

Header = dict[str, Any]


class BrokenFrame(Exception):
    """The other side ended or sent something that is no frame."""


def write_frame(stream: IO[bytes], header: Mapping[str, object], blobs: Sequence[bytes] = ()) -> None:
    """Send one frame and flush."""
    text = json.dumps({**header, "blobs": [len(blob) for blob in blobs]}).encode()
    stream.write(_HEAD.pack(_MAGIC, len(text)))
    stream.write(text)
    for blob in blobs:
        stream.write(blob)
    stream.flush()


def read_frame(stream: IO[bytes]) -> tuple[Header, list[bytes]]:
    """Wait for one frame. Raises BrokenFrame at the end of the stream and for anything malformed."""
    magic, length = _HEAD.unpack(_exactly(stream, _HEAD.size))
    if magic != _MAGIC or length > _LONGEST_JSON:
        raise BrokenFrame("no frame")
    try:
        header = json.loads(_exactly(stream, length))
        lengths = [int(size) for size in header.pop("blobs")]
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise BrokenFrame("no frame") from error
    if any(not 0 <= size <= _LONGEST_BLOB for size in lengths):
        raise BrokenFrame("a part is too long")
    return header, [_exactly(stream, size) for size in lengths]


def _exactly(stream: IO[bytes], size: int) -> bytes:
    data = stream.read(size)
    if len(data) != size:
        raise BrokenFrame("the stream ended")
    return data
