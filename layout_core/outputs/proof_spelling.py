"""The spelling block of the proof: every word the program has set, in large type, and the art to read."""

from layout_core.job.model import Piece
from layout_core.outputs.drawing import Box, Part, line, moved
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    FILM,
    GUTTER,
    INK,
    MUTED,
    RULE,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    stacked,
    tick_box,
)
from layout_core.outputs.thumbnail import art_scaled

_WORDS = 54.0
_COLUMNS = 4
_CELL = (WIDTH - GUTTER * (_COLUMNS - 1)) / _COLUMNS
_FRAME = 300.0


def spelling(scope: ProofScope) -> Block:
    """A line a piece set in words, with a box to tick; then the pieces whose words only the art shows."""
    pieces = scope.job.pieces
    set_words = [piece for piece in pieces if scope.job.art(piece.art_id).lettering is not None]
    drawn = [piece for piece in pieces if scope.job.art(piece.art_id).lettering is None]
    if not pieces:
        return Block(0, ())
    blocks = [
        heading("Spelling", "read every word, letter by letter, and tick it"),
        *_lines(scope, set_words),
    ]
    if drawn:
        text = "Art that came as a picture: its words, dates and numbers are in the drawing. Read them here."
        blocks += [paragraph(0, 0, text, 22, WIDTH, fill=MUTED), *_pictures(scope, drawn)]
    return stacked(blocks, 20)


def _lines(scope: ProofScope, pieces: list[Piece]) -> list[Block]:
    blocks = []
    for piece in pieces:
        lettering = scope.job.art(piece.art_id).lettering
        text = lettering.text if lettering is not None else ""
        rows = [
            paragraph(0, 0, row, _WORDS, WIDTH - 140, weight="bold", leading=1.25)
            for row in text.splitlines()
        ]
        words = stacked([row for row in rows if row.height > 0], 2)
        height = max(words.height + 26, 84.0)
        parts: tuple[Part, ...] = (
            tick_box(0, 22),
            *badge(78, 40, scope.number(piece.piece_id)),
            moved(words.parts, 120, 4),
            line((0, height), (WIDTH, height), RULE, 1),
        )
        blocks.append(Block(height, parts))
    return blocks


def _pictures(scope: ProofScope, pieces: list[Piece]) -> list[Block]:
    cells = [_picture(scope, piece) for piece in pieces]
    rows = []
    for start in range(0, len(cells), _COLUMNS):
        parts = tuple(
            moved(cell, i * (_CELL + GUTTER), 0) for i, cell in enumerate(cells[start : start + _COLUMNS])
        )
        rows.append(Block(_FRAME + 52, parts))
    return rows


def _picture(scope: ProofScope, piece: Piece) -> tuple[Part, ...]:
    artwork = scope.job.artwork_of(piece)
    width = min(_CELL - 40, (_FRAME - 40) / artwork.aspect)
    left, top = (_CELL - width) / 2, (_FRAME - width * artwork.aspect) / 2
    return (
        Box(0, 0, _CELL, _FRAME, FILM, radius=10),
        art_scaled(artwork, width, INK, left, top),
        tick_box(0, _FRAME + 10, 30),
        *badge(58, _FRAME + 26, scope.number(piece.piece_id), 15),
        one_line(84, _FRAME + 33, piece.name, 20, _CELL - 84, weight="semibold"),
    )
