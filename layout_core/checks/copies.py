"""Whether every ordered copy lies on a sheet."""

from layout_core.checks.findings import Finding, Severity
from layout_core.job.model import Job


def copies_findings(job: Job) -> tuple[Finding, ...]:
    """One caution of the rule copies for each ordered piece of which too few lie on the job's sheets."""
    found: list[Finding] = []
    for piece in job.pieces:
        placed = job.copies_placed(piece.piece_id)
        if piece.filler or placed >= piece.copies:
            continue
        message = f"{placed} of {piece.copies} copies lie on the sheets; {piece.copies - placed} to lay"
        found.append(
            Finding(
                "copies",
                Severity.CAUTION,
                message,
                measured=float(placed),
                limit=float(piece.copies),
                unit="copies",
                piece_id=piece.piece_id,
            )
        )
    return tuple(found)
