"""What the runs of the job's sheets yield: made, ordered and spare copies of each piece."""

from dataclasses import dataclass

from app.panels.job_words import on_order
from layout_core.job.model import Job


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One piece over all runs; `ordered` counts garments of the order lines, 0 where none names it."""

    piece_id: int
    name: str
    laid: int
    made: int
    ordered: int

    @property
    def spare(self) -> int:
        """What is left when every order is served; negative when it falls short."""
        return self.made - self.ordered


@dataclass(frozen=True, slots=True)
class PlanFigures:
    """Printed sheets, film, and one row a piece."""

    sheet_count: int
    film_mm: float
    rows: tuple[PlanRow, ...]
    below_run: tuple[int, ...]

    @property
    def ordered(self) -> int:
        return sum(row.ordered for row in self.rows)

    @property
    def short(self) -> int:
        """How many ordered copies the runs do not yield."""
        return sum(max(-row.spare, 0) for row in self.rows)

    @property
    def spare(self) -> int:
        return sum(max(row.spare, 0) for row in self.rows)


def plan_figures(job: Job) -> PlanFigures:
    """Counts over the sheets that hold something; `below_run` names those under the smallest run."""
    used = tuple(sheet for sheet in job.sheets if sheet.placed)
    laid = {piece.piece_id: 0 for piece in job.pieces}
    made = dict(laid)
    for sheet in used:
        for placed in sheet.placed:
            laid[placed.piece_id] += 1
            made[placed.piece_id] += sheet.run
    rows = tuple(
        PlanRow(
            piece.piece_id,
            piece.name,
            laid[piece.piece_id],
            made[piece.piece_id],
            on_order(job, piece.piece_id),
        )
        for piece in job.pieces
    )
    return PlanFigures(
        sum(sheet.run for sheet in used),
        sum(sheet.run * sheet.length_mm for sheet in used),
        rows,
        tuple(sheet.sheet_id for sheet in used if sheet.run < job.limits.smallest_run),
    )
