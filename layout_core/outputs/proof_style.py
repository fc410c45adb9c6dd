"""The look of the layout proof: its page, colours, type sizes, and the few shapes every section shares."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from layout_core.checks.findings import Severity
from layout_core.outputs.drawing import Anchor, Box, Part, Words, circle, line, moved, polygon
from layout_core.outputs.typeface import Weight, elided, text_width, wrapped

DPI = 240.0
PAGE_WIDTH = 2040.0
"""Pixels: 8.5 in at `DPI`."""
MARGIN = 110.0
WIDTH = PAGE_WIDTH - 2 * MARGIN
GUTTER = 36.0

TEXT = "#1B2226"
MUTED = "#555F68"
RULE = "#D5DAD4"
PANEL = "#F3F5F2"
ACCENT = "#0B8459"
ACCENT_FILL = "#D8F1E4"
FILM = "#7E878F"
FILM_EDGE = "#5C656D"
INK = "#FCFEF8"
INK_ON_LIGHT = "#8FA396"
SEVERITY_COLOURS = {Severity.STOP: "#C23B22", Severity.CAUTION: "#9A6200", Severity.NOTE: "#2B6CA8"}
SEVERITY_WORDS = {Severity.STOP: "Stop", Severity.CAUTION: "Caution", Severity.NOTE: "Note"}


@dataclass(frozen=True, slots=True)
class Block:
    """A section or part of one, drawn from (0, 0), and the height it takes."""

    height: float
    parts: tuple[Part, ...]


def one_line(
    x: float, y: float, text: str, size: float, most: float, *,
    weight: Weight = "regular", fill: str = TEXT, anchor: Anchor = "start",
) -> Words:  # fmt: skip
    """A line with its baseline at y, shortened to `most`."""
    return Words(x, y, elided(text, size, weight, most), size, fill, most, weight, anchor)


def paragraph(
    x: float, y: float, text: str, size: float, most: float, *,
    weight: Weight = "regular", fill: str = TEXT, lines: int = 99, leading: float = 1.42,
) -> Block:  # fmt: skip
    """Wrapped words whose first baseline lies a line below y; the height counts from y."""
    rows = wrapped(text, size, weight, most, lines)
    step = size * leading
    words = tuple(
        Words(x, y + step * (i + 1) - size * 0.3, row, size, fill, most, weight) for i, row in enumerate(rows)
    )
    return Block(step * len(rows), words)


def stacked(blocks: Iterable[Block], gap: float = 0.0) -> Block:
    """The blocks one below the other."""
    parts: list[Part] = []
    y = 0.0
    for block in blocks:
        if block.height <= 0:
            continue
        y += gap if y else 0.0
        parts.append(moved(block.parts, 0.0, y))
        y += block.height
    return Block(y, tuple(parts))


def heading(text: str, aside: str = "") -> Block:
    """A section's title over a rule, with a remark at its right end."""
    room = WIDTH - text_width(text, 34.0, "bold") - 40.0
    return Block(
        70.0,
        (
            one_line(0, 36, text, 34, WIDTH, weight="bold"),
            one_line(WIDTH, 36, aside, 22, room, fill=MUTED, anchor="end"),
            line((0, 56), (WIDTH, 56), TEXT, 2.5),
        ),
    )


def badge(x: float, y: float, number: int, radius: float = 19.0) -> tuple[Part, ...]:
    """A piece's number in a dark disc, centred at (x, y)."""
    size = radius * (1.1 if number < 100 else 0.85)
    return (
        circle(x, y, radius, TEXT),
        one_line(
            x, y + size * 0.36, str(number), size, radius * 2, weight="bold", fill="#FFFFFF", anchor="middle"
        ),
    )


def severity_mark(x: float, y: float, radius: float, severity: Severity) -> tuple[Part, ...]:
    """Octagon for stop, triangle for caution, ring for note, centred at (x, y): told apart by shape too."""
    fill = SEVERITY_COLOURS[severity]
    sign = one_line(
        x,
        y + radius * 0.46,
        "!",
        radius * 1.3,
        radius * 2,
        weight="extrabold",
        fill="#FFFFFF",
        anchor="middle",
    )
    if severity is Severity.STOP:
        corner = radius * 0.414
        points = [(corner, radius), (radius, corner), (radius, -corner), (corner, -radius),
                  (-corner, -radius), (-radius, -corner), (-radius, corner), (-corner, radius)]  # fmt: skip
        return polygon([(x + dx, y + dy) for dx, dy in points], fill), sign
    if severity is Severity.CAUTION:
        base = y + radius * 0.8
        return polygon(
            [(x, y - radius), (x + radius * 1.08, base), (x - radius * 1.08, base)], fill, fill
        ), sign
    return (
        Box(x - radius + 2, y - radius + 2, 2 * radius - 4, 2 * radius - 4, None, fill, 4.0, radius - 2),
        circle(x, y, radius * 0.25, fill),
    )


def tick_box(x: float, y: float, size: float = 34.0) -> Box:
    """An empty box to tick by hand; (x, y) is its top left corner."""
    return Box(x, y, size, size, "#FFFFFF", TEXT, 2.5, 5.0)


def pairs(
    rows: Sequence[tuple[str, str]], x: float, y: float, most: float, label_width: float, size: float = 20.0
) -> Block:
    """Label and value, one pair a line; values wrap under themselves."""
    parts: list[Part] = []
    top = y
    for label, value in rows:
        parts.append(one_line(x, top + size * 1.12, label, size, label_width - 12, fill=MUTED))
        body = paragraph(
            x + label_width, top, value, size, most - label_width, weight="medium", lines=4, leading=1.34
        )
        parts += body.parts
        top += max(body.height, size * 1.4) + 4
    return Block(top - y, tuple(parts))
