"""Garment mock-ups of the proof: each piece on its garment by day, with its distances, and in the dark."""

from layout_core.job.model import Piece
from layout_core.outputs.drawing import moved
from layout_core.outputs.proof_figures import size_text
from layout_core.outputs.proof_garment import garment_sketch
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import GUTTER, MUTED, WIDTH, Block, badge, heading, one_line, stacked

_COLUMNS = 2
_CARD = (WIDTH - GUTTER * (_COLUMNS - 1)) / _COLUMNS
_PANEL = (_CARD - 12) / 2
_HEIGHT = 372.0


def mockups(scope: ProofScope) -> Block:
    """A pair of panels a piece; nothing when there is no piece."""
    cards = [_card(scope, piece) for piece in scope.job.pieces]
    if not cards:
        return Block(0, ())
    rows = []
    for start in range(0, len(cards), _COLUMNS):
        beside = cards[start : start + _COLUMNS]
        parts = tuple(moved(card.parts, i * (_CARD + GUTTER), 0) for i, card in enumerate(beside))
        rows.append(Block(max(card.height for card in beside), parts))
    aside = "by day and in the dark; a picture of the idea, not of colour or brightness"
    return stacked([heading("On the garment", aside), *rows], 26)


def _card(scope: ProofScope, piece: Piece) -> Block:
    day = garment_sketch(scope, piece, _PANEL, _HEIGHT)
    dark = garment_sketch(scope, piece, _PANEL, _HEIGHT, in_the_dark=True)
    placement = scope.placement(piece)
    where = placement.name if placement else piece.placement
    words = f"{where}, {size_text(scope, piece)[0]}, {scope.garment_colour(piece)}"
    parts = (
        *day.parts,
        moved(dark.parts, _PANEL + 12, 0),
        *badge(17, _HEIGHT + 28, scope.number(piece.piece_id), 15),
        one_line(44, _HEIGHT + 35, piece.name, 20, 300, weight="semibold"),
        one_line(_CARD, _HEIGHT + 35, words, 19, _CARD - 360, fill=MUTED, anchor="end"),
    )
    return Block(_HEIGHT + 48, parts)
