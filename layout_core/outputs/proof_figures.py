"""What the layout proof says of a piece in words and figures: size, placement, counts, finest measures."""

from layout_core.job.model import Piece
from layout_core.outputs.proof_scope import ProofScope
from layout_core.units import write_area, write_length, write_number

_GARMENT_WORDS = {
    "toddler": "toddler sizes", "youth": "youth sizes", "adult": "adult sizes", "plus": "2XL and up",
}  # fmt: skip


def size_text(scope: ProofScope, piece: Piece) -> tuple[str, str]:
    """Width x height in inches and in mm."""
    sides = scope.job.size_of(piece)
    return (
        " × ".join(write_number(side, "in", 2) for side in sides) + " in",
        " × ".join(write_number(side, "mm", 0) for side in sides) + " mm",
    )


def piece_figures(scope: ProofScope, piece: Piece, *, in_short: bool = False) -> list[tuple[str, str]]:
    """Label and value of each figure, in the order they are read; the short list leaves out how it lies."""
    placement = scope.placement(piece)
    where = placement.name if placement else piece.placement
    size = _GARMENT_WORDS.get(piece.garment_size, piece.garment_size)
    rows = [("Placement", f"{where}, {size}")]
    if placement and not in_short:
        rows.append(("How it lies", placement.laid))
    rows.append(("Counts", _counts(scope, piece)))
    if scope.is_whole:
        order = scope.order(piece)
        rows.append(("Order", order.name if order else "the shop's own"))
    artwork = scope.job.artwork_of(piece)
    area_mm2 = artwork.outline.area * (piece.width_mm / artwork.width_mm) ** 2
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
        f"{sheet.name} × {count}"
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
