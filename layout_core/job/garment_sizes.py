"""Garment sizes as people head their columns, and the size group whose piece widths they take."""

import re
from collections.abc import Mapping

_ADULT = ("XS", "S", "M", "L", "XL")
_PLUS = ("2XL", "3XL", "4XL", "5XL", "6XL")
_YOUTH = ("YXS", "YS", "YM", "YL", "YXL")
_TODDLER = ("2T", "3T", "4T", "5T", "6T")
ONE_SIZE = "one size"

GROUPS: Mapping[str, str] = {
    **dict.fromkeys(_TODDLER, "toddler"),
    **dict.fromkeys(_YOUTH, "youth"),
    **dict.fromkeys(_ADULT, "adult"),
    ONE_SIZE: "adult",
    **dict.fromkeys(_PLUS, "plus"),
}
"""Size to group, smallest first. Common practice, no source; "plus" is 2XL and up."""

_OTHER_WORDS: Mapping[str, str] = {
    "XXL": "2XL", "XXXL": "3XL", "XXXXL": "4XL", "2X": "2XL", "3X": "3XL", "4X": "4XL", "5X": "5XL",
    "SMALL": "S", "MEDIUM": "M", "LARGE": "L", "OS": ONE_SIZE, "OSFA": ONE_SIZE, "ONESIZE": ONE_SIZE,
}  # fmt: skip
_YOUTH_WORD = re.compile(r"(?:YOUTH|KIDS?|Y)(XS|S|M|L|XL|SMALL|MEDIUM|LARGE)")


def size_named(text: str) -> str | None:
    """The size a heading means, spelled our way ("xxl" is "2XL", "Youth M" is "YM"); None for no size."""
    word = re.sub(r"[\s_.-]+", "", text).upper()
    youth = _YOUTH_WORD.fullmatch(word)
    if youth is not None:
        inner = youth[1]
        return "Y" + _OTHER_WORDS.get(inner, inner)
    word = _OTHER_WORDS.get(word, word)
    return word if word in GROUPS else None


def group_of(size: str) -> str | None:
    """The garment size group (toddler, youth, adult, plus) of a size in any spelling; None when unknown."""
    named = size_named(size)
    return None if named is None else GROUPS[named]
