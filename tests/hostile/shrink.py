"""Makes a bad file as small as it gets while it stays bad in the same way."""

from collections.abc import Callable

MOST_TRIES = 600


def smallest(data: bytes, is_bad: Callable[[bytes], bool], tries: int = MOST_TRIES) -> bytes:
    """The file without all that can be left out: halves first, then ever smaller parts, down to one byte."""
    size = max(len(data) // 2, 1)
    while tries > 0:
        start, has_shrunk = 0, False
        while start < len(data) and tries > 0:
            shorter = data[:start] + data[start + size :]
            tries -= 1
            if is_bad(shorter):
                data, has_shrunk = shorter, True
            else:
                start += size
        if size == 1 and not has_shrunk:
            return data
        size = max(size // 2, 1)
    return data
