"""The pieces on the layout proof: a card each, with art, size, counts, measures and place on the garment."""

from collections.abc import Sequence
from dataclasses import dataclass

from layout_core.checks.findings import Finding, Severity
from layout_core.glow.cloth import cloth, is_light
from layout_core.job.model import Piece
from layout_core.outputs.drawing import Box, Part, line, moved
from layout_core.outputs.proof_figures import piece_figures, size_text
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


@dataclass(frozen=True, slots=True)
class _Format:
    """Sizes of a card in px; a compact one leaves out how the piece lies and its findings' marks."""

    columns: int
    sketch: float
    sketch_height: float
    thumb: float
    type_size: float
    label: float
    is_compact: bool

    @property
    def card(self) -> float:
        return (WIDTH - GUTTER * (self.columns - 1)) / self.columns


_ROOMY = _Format(2, 440.0, 430.0, 136.0, 19.0, 128.0, False)
_COMPACT = _Format(3, 232.0, 250.0, 76.0, 16.0, 116.0, True)
_MOST_ROOMY = 24
"""More pieces than this get compact cards, so that the page stays one a person scrolls through."""


def pieces(scope: ProofScope) -> Block:
    """A card each, in rows; a sentence when there is no piece."""
    listed = scope.job.pieces
    if not listed:
        words = paragraph(0, 0, "There is no piece yet.", 22, WIDTH, fill=MUTED)
        return stacked([heading("Pieces"), words], 10)
    form = _ROOMY if len(listed) <= _MOST_ROOMY else _COMPACT
    cards = [_card(scope, piece, form) for piece in listed]
    rows = [_row(cards[i : i + form.columns], form) for i in range(0, len(cards), form.columns)]
    if scope.idle_fillers:
        text = f"Fillers that found no room on the sheets: {', '.join(scope.idle_fillers)}."
        rows.append(paragraph(0, 0, text, 20, WIDTH, fill=MUTED, lines=4))
    aside = "art as it reads on the garment; sketches to scale, garments generic"
    if any(is_light(cloth(scope.garment_colour(piece))) for piece in listed):
        aside = "sketches to scale, garments generic; on light cloth the ink is drawn darker, to be seen"
    return stacked([heading("Pieces", aside), *rows], 30)


def _row(cards: Sequence[Block], form: _Format) -> Block:
    parts = tuple(moved(card.parts, i * (form.card + GUTTER), 0) for i, card in enumerate(cards))
    return Block(max(card.height for card in cards), parts)


def _card(scope: ProofScope, piece: Piece, form: _Format) -> Block:
    sketch = garment_sketch(scope, piece, form.sketch, form.sketch_height)
    left = form.sketch + (18 if form.is_compact else 28)
    words = _words(scope, piece, form.card - left, form)
    parts = (*sketch.parts, moved(words.parts, left, 0))
    return Block(max(sketch.height, words.height), parts)


def _words(scope: ProofScope, piece: Piece, width: float, form: _Format) -> Block:
    size, left = form.type_size, form.thumb + form.type_size
    beside = width - left
    name = paragraph(left, 40, piece.name, size * 1.3, beside, weight="bold", lines=2, leading=1.22)
    inches, millimetres = size_text(scope, piece)
    top = 40 + name.height + 8
    head: tuple[Part, ...] = (
        *thumbnail(scope.job.artwork_of(piece), form.thumb, INK, FILM),
        *badge(left + 19, 19, scope.number(piece.piece_id)),
        *_tag(piece, left + 50),
        *name.parts,
        one_line(left, top + size * 1.15, inches, size * 1.15, beside, weight="semibold"),
        one_line(left, top + size * 2.5, millimetres, size * 0.95, beside, fill=MUTED),
    )
    blocks = [Block(max(form.thumb, top + size * 2.8), head)]
    rows = piece_figures(scope, piece, in_short=form.is_compact)
    blocks.append(pairs(rows, 0, 0, width, form.label, size))
    if not form.is_compact:
        blocks.append(_findings_line(scope, piece, width))
    return stacked(blocks, 12)


def _tag(piece: Piece, x: float) -> tuple[Part, ...]:
    if not piece.filler:
        return ()
    return (
        Box(x, 2, 78, 34, ACCENT_FILL, radius=7),
        one_line(x + 39, 26, "Filler", 19, 70, weight="semibold", fill=ACCENT, anchor="middle"),
    )


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
