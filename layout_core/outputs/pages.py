"""Lays blocks of a tall layout on pages: parted between rows, a heading kept with what follows.

Unit and width are those of the proof's style: px, `PAGE_WIDTH` wide, letter paper.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from layout_core.outputs.drawing import IDENTITY, Drawing, Group, Part, line, moved
from layout_core.outputs.proof_style import MARGIN, MUTED, PAGE_WIDTH, RULE, WIDTH, Block, one_line

PAGE_HEIGHT = 2640.0
"""11 in at the 240 dpi of the style."""
_FOOT = 86.0
ROOM = PAGE_HEIGHT - 2 * MARGIN - _FOOT
"""Height that a page has for blocks."""


@dataclass(frozen=True, slots=True)
class Running:
    """What stands on every page: at its foot on the left, and its title as a document."""

    foot: str
    title: str


def paged(sections: Sequence[Block], gap: float, running: Running) -> tuple[Drawing, ...]:
    """The sections on as few pages as their rows allow, each page numbered."""
    pages: list[list[Part]] = [[]]
    y = 0.0
    for section in sections:
        if section.height <= 0:
            continue
        rows = _rows(section)
        y += gap if y else 0.0
        for number, row in enumerate(rows):
            # a heading at the foot of a page would stand alone
            needed = row.height + (rows[1].height if number == 0 and len(rows) > 1 else 0.0)
            if y and y + min(needed, ROOM) > ROOM:
                pages.append([])
                y = 0.0
            pages[-1].append(moved(_fitted(row).parts, MARGIN, MARGIN + y))
            y += row.height
    return tuple(_page(parts, number, len(pages), running) for number, parts in enumerate(pages, 1))


def _rows(block: Block) -> list[Block]:
    """The rows of a stacked block, each with the gap below it; one that no page holds is parted further."""
    starts = _starts(block)
    if starts is None:
        return [block]
    rows = []
    for group, start, end in zip(block.parts, starts, [*starts[1:], block.height], strict=True):
        row = Block(end - start, group.parts if isinstance(group, Group) else (group,))
        rows += _rows(row) if row.height > ROOM else [row]
    return rows


def _starts(block: Block) -> list[float] | None:
    """Where each part begins, if the parts are groups one below the other."""
    starts = []
    for part in block.parts:
        if not isinstance(part, Group) or part.matrix[:5] != IDENTITY[:5]:
            return None
        starts.append(part.matrix[5])
    is_stack = len(starts) > 1 and starts[0] == 0.0 and all(a < b for a, b in pairwise(starts))
    return starts if is_stack else None


def _fitted(row: Block) -> Block:
    """The row, shrunk when no page is tall enough for it."""
    if row.height <= ROOM:
        return row
    scale = ROOM / row.height
    return Block(ROOM, (Group(row.parts, (scale, 0.0, 0.0, scale, 0.0, 0.0)),))


def _page(parts: Sequence[Part], number: int, count: int, running: Running) -> Drawing:
    base = PAGE_HEIGHT - MARGIN
    count_words = f"Page {number} of {count}"
    right = MARGIN + WIDTH
    foot = (
        line((MARGIN, base - 40), (right, base - 40), RULE, 1.5),
        one_line(MARGIN, base - 8, running.foot, 17, WIDTH - 200, fill=MUTED),
        one_line(right, base - 8, count_words, 17, 190, fill=MUTED, anchor="end", weight="semibold"),
    )
    return Drawing(PAGE_WIDTH, PAGE_HEIGHT, (*parts, *foot), title=running.title)
