"""Whether a piece fits the space that its placement has on the garment."""

from collections.abc import Sequence

from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.clearance import DUST_MM
from layout_core.job.model import Job, Piece
from layout_core.job.placements import Placement
from layout_core.units import write_length


def placement_findings(job: Job, piece: Piece, placements: Sequence[Placement]) -> tuple[Finding, ...]:
    """One caution of the rule placement_size when the piece is larger than the at-most box.

    A placement that the shop's table no longer has is not judged.
    """
    placement = next((p for p in placements if p.key == piece.placement), None)
    if placement is None:
        return ()
    width_mm, height_mm = job.size_of(piece)
    sides = (("wide", width_mm, placement.most_width_mm), ("high", height_mm, placement.most_height_mm))
    word, measured_mm, most_mm = max(sides, key=lambda side: side[1] - side[2])
    if measured_mm <= most_mm + DUST_MM:
        return ()
    message = (
        f"{write_length(measured_mm)} {word}; the {placement.key} takes at most "
        f"{write_length(placement.most_width_mm)} x {write_length(placement.most_height_mm)}"
    )
    return (
        Finding(
            "placement_size",
            Severity.CAUTION,
            message,
            measured=measured_mm,
            limit=most_mm,
            piece_id=piece.piece_id,
        ),
    )
