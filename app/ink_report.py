"""The colours of an art on the command line: which print, what a person says of them, how they are told."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import InkMap, checked_ink_map, with_prints
from layout_core.art.intake import read_art, read_with_ink_map
from layout_core.errors import InkMapError
from layout_core.progress import Progress, within

_CHOICE = re.compile(r"(#[0-9a-f]{6})=(print|knock)", re.ASCII)
_SHARE = re.compile(r"(\d{1,2}(?:\.\d+)?)\s*%", re.ASCII)


@dataclass(frozen=True, slots=True)
class InkWishes:
    """What is asked of the colours: to list them, to change some, and how opaque paint must be to print."""

    lists_them: bool = False
    choices: tuple[tuple[str, bool], ...] = ()
    threshold: float | None = None

    @property
    def needs_map(self) -> bool:
        return self.lists_them or bool(self.choices) or self.threshold is not None


NO_WISHES = InkWishes()


def ink_wishes(lists_them: bool, choices: Sequence[str], solid_from: str | None) -> InkWishes:
    """The wishes of the options as typed. Raises InkMapError for what cannot be read."""
    found = []
    for text in choices:
        match = _CHOICE.fullmatch(text.strip().lower())
        if match is None:
            raise InkMapError(f"--ink {text[:30]!r}: write it as #rrggbb=print or #rrggbb=knock")
        found.append((match[1], match[2] == "print"))
    threshold = None
    if solid_from is not None:
        share = _SHARE.fullmatch(solid_from.strip())
        if share is None:
            raise InkMapError(f"--solid-from {solid_from[:30]!r}: write it as a share, such as 40%")
        threshold = float(share[1]) / 100.0
    return InkWishes(lists_them, tuple(found), threshold)


def read_as_wished(path: Path, wishes: InkWishes, progress: Progress) -> tuple[Artwork, InkMap | None]:
    """The art with the wishes followed, and its map if anything was asked. Raises ArtError, InkMapError."""
    if not wishes.needs_map:
        return read_art(path, progress), None
    artwork, ink_map = read_with_ink_map(path, None, within(progress, 0.0, 0.5))
    wished = ink_map
    try:
        for colour, prints in wishes.choices:
            wished = with_prints(wished, colour, prints)
        if wishes.threshold is not None:
            wished = replace(wished, threshold=wishes.threshold)
        checked_ink_map(wished)
    except InkMapError as error:
        raise InkMapError(f"{path.name}: {error}") from error
    if wished == ink_map:
        return artwork, ink_map
    return read_with_ink_map(path, wished, within(progress, 0.5, 1.0))


def ink_document(ink_map: InkMap) -> dict[str, Any]:
    """The JSON object of a map; shares and opacity are fractions of one."""
    return {
        "solid_from": ink_map.threshold,
        "swatches": [
            {"colour": s.colour, "area_share": round(s.area_share, 4), "prints": s.prints}
            for s in ink_map.swatches
        ],
    }


def ink_lines(ink_map: InkMap) -> list[str]:
    """A line a colour, and one on see-through paint."""
    lines = [
        f"  ink      {s.colour} {s.area_share:6.1%}  {'prints' if s.prints else 'knocked out'}"
        for s in ink_map.swatches
    ]
    return [*lines, f"  ink      see-through paint is solid from {ink_map.threshold:.0%} on"]
