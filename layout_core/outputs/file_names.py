"""Plain names for files: small letters, digits and single hyphens, no two alike in one folder."""

import re
import unicodedata
from collections.abc import Iterable

_LONGEST = 60
_DEVICES = re.compile(r"con|prn|aux|nul|(com|lpt)[0-9]")
"""Windows opens a device under these names, whatever the suffix. From memory."""


def file_word(name: str, otherwise: str = "order") -> str:
    """The name as part of a file's name; `otherwise` when nothing of it is left."""
    plain = unicodedata.normalize("NFD", name).encode("ascii", "ignore").decode("ascii").lower()
    word = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].rstrip("-") or otherwise
    return f"{word}-{otherwise}" if _DEVICES.fullmatch(word) else word


def file_words(names: Iterable[tuple[int, str]], otherwise: str) -> dict[int, str]:
    """A word for each id; names that come out alike get a number behind them."""
    words: dict[int, str] = {}
    for key, name in names:
        word, number = file_word(name, otherwise), 2
        trial = word
        while trial in words.values():
            trial, number = f"{word}-{number}", number + 1
        words[key] = trial
    return words
