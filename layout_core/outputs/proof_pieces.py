"""The pieces on the layout proof: a card each, with art, size, counts, measures and place on the garment."""

from collections.abc import Sequence

from layout_core.checks.findings import Finding, Severity
from layout_core.job.model import Piece
from layout_core.outputs.drawing import Box, Part, line, moved
from layout_core.outputs.proof_garment import garment_sketch
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    ACCENT,
    ACCENT_FILL,
    FILM,
    GUTTER,
    INK,
    MUTED,
    RULE,
    SEVERITY_WORDS,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    pairs,
    paragraph,
    severity_mark,
    stacked,
)
from layout_core.outputs.thumbnail import thumbnail
from layout_core.units import write_area, write_length, write_number

_CARD = (WIDTH - GUTTER) / 2
_SKETCH = 440.0
_SKETCH_HEIGHT = 430.0
_THUMB = 136.0
_GARMENT_WORDS = {
    "toddler": "toddler sizes", "youth": "youth sizes", "adult": "adult sizes", "plus": "2XL and up",
}  # fmt: skip


def pieces(scope: ProofScope) -> Block:
    """Cards two to a row; a sentence when there is no piece."""
    listed = scope.job.pieces
    if not listed:
        words = paragraph(0, 0, "There is no piece yet.", 22, WIDTH, fill=MUTED)
        return stacked([heading("Pieces"), words], 10)
    cards = [_card(scope, piece) for piece in listed]
    rows = [_row(cards[i : i + 2]) for i in range(0, len(cards), 2)]
    if scope.idle_fillers:
        text = f"Fillers that found no room on the sheets: {', '.join(scope.idle_fillers)}."
        rows.append(paragraph(0, 0, text, 20, WIDTH, fill=MUTED, lines=4))
    return stacked(
        [heading("Pieces", "art as it reads on the garment; sketches to scale, garments generic"), *rows], 30
    )


def size_text(scope: ProofScope, piece: Piece) -> tuple[str, str]:
    """Width x height in inches and in mm."""
    sides = scope.job.size_of(piece)
    return (
        " × ".join(write_number(side, "in", 2) for side in sides) + " in",
        " × ".join(write_number(side, "mm", 0) for side in sides) + " mm",
    )


def _row(cards: Sequence[Block]) -> Block:
    parts = tuple(moved(card.parts, i * (_CARD + GUTTER), 0) for i, card in enumerate(cards))
    return Block(max(card.height for card in cards), parts)


def _card(scope: ProofScope, piece: Piece) -> Block:
    sketch = garment_sketch(scope, piece, _SKETCH, _SKETCH_HEIGHT)
    left = _SKETCH + 28
    words = _words(scope, piece, _CARD - left)
    parts = (*sketch.parts, moved(words.parts, left, 0))
    return Block(max(sketch.height, words.height), parts)


def _words(scope: ProofScope, piece: Piece, width: float) -> Block:
    beside = width - _THUMB - 20
    name = paragraph(_THUMB + 20, 40, piece.name, 25, beside, weight="bold", lines=2, leading=1.22)
    inches, millimetres = size_text(scope, piece)
    top = 40 + name.height + 8
    head: tuple[Part, ...] = (
        *thumbnail(scope.job.artwork_of(piece), _THUMB, INK, FILM),
        *badge(_THUMB + 39, 19, scope.number(piece.piece_id)),
        *_tag(piece, _THUMB + 70),
        *name.parts,
        one_line(_THUMB + 20, top + 22, inches, 22, beside, weight="semibold"),
        one_line(_THUMB + 20, top + 48, millimetres, 18, beside, fill=MUTED),
    )
    head_height = max(_THUMB, top + 54)
    body = pairs(_rows(scope, piece), 0, 0, width, 128, 19)
    marks = _findings_line(scope, piece, width)
    return stacked([Block(head_height, head), body, marks], 12)


def _tag(piece: Piece, x: float) -> tuple[Part, ...]:
    if not piece.filler:
        return ()
    return (
        Box(x, 2, 78, 34, ACCENT_FILL, radius=7),
        one_line(x + 39, 26, "Filler", 19, 70, weight="semibold", fill=ACCENT, anchor="middle"),
    )


def _rows(scope: ProofScope, piece: Piece) -> list[tuple[str, str]]:
    placement = scope.placement(piece)
    where = placement.name if placement else piece.placement
    size = _GARMENT_WORDS.get(piece.garment_size, piece.garment_size)
    rows = [("Placement", f"{where}, {size}")]
    if placement:
        rows.append(("How it lies", placement.laid))
    rows.append(("Counts", _counts(scope, piece)))
    if scope.is_whole:
        order = scope.order(piece)
        rows.append(("Order", order.name if order else "the shop's own"))
    area_mm2 = (
        scope.job.artwork_of(piece).outline.area
        * (piece.width_mm / scope.job.artwork_of(piece).width_mm) ** 2
    )
    limits = scope.job.limits
    rows += [
        ("Thinnest line", _least(scope, piece, ("line_weight", "neck"), limits.line_caution_mm)),
        ("Thinnest gap", _least(scope, piece, ("gap", "bridge"), limits.gap_mm)),
        ("Ink area", write_area(area_mm2)),
    ]
    return rows


def _counts(scope: ProofScope, piece: Piece) -> str:
    printed = scope.printed[piece.piece_id]
    if not scope.is_whole:
        return f"{printed} printed in all"
    laid = [
        f"{sheet.name} {count}"
        for sheet in scope.job.sheets
        if (count := sum(placed.piece_id == piece.piece_id for placed in sheet.placed))
    ]
    wanted = "" if piece.filler else f" of {piece.copies}"
    where = f" ({', '.join(laid)})" if laid else ""
    return f"{scope.laid[piece.piece_id]}{wanted} on the sheets{where}; {printed} printed"


def _least(scope: ProofScope, piece: Piece, rules: tuple[str, ...], limit_mm: float) -> str:
    """The least width any of these checks measured, or that none fell below the limit."""
    widths = [
        found.measured
        for found in scope.findings
        if found.piece_id == piece.piece_id and found.rule in rules and found.measured is not None
    ]
    if widths:
        return f"{write_length(min(widths), 'in', 3)}; {write_number(limit_mm, 'in', 3)} wanted"
    return f"at least {write_length(limit_mm, 'in', 3)}"


def _findings_line(scope: ProofScope, piece: Piece, width: float) -> Block:
    own = [found for found in scope.findings if found.piece_id == piece.piece_id]
    if not own:
        return Block(0, ())
    parts: list[Part] = [line((0, 0), (width, 0), RULE, 1)]
    x = 0.0
    for severity in Severity:
        found = [one for one in own if one.severity is severity]
        if not found:
            continue
        waived = sum(scope.waiver(one) is not None for one in found)
        text = f"{len(found)} {_word(severity, found)}" + (f", {waived} waived" if waived else "")
        parts += severity_mark(x + 13, 26, 13, severity)
        parts.append(one_line(x + 34, 32, text, 18, min(width - x - 34, 200), weight="medium"))
        x += 235
    return Block(42, tuple(parts))


def _word(severity: Severity, found: Sequence[Finding]) -> str:
    word = SEVERITY_WORDS[severity].lower()
    return word if len(found) == 1 else f"{word}s"
