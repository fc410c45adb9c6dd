"""One result of a check: what was found, where, how much, and how much it should be."""

from dataclasses import dataclass, field
from enum import StrEnum

from shapely.geometry.base import BaseGeometry


class Severity(StrEnum):
    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """A stop, caution or note.

    A finding about a piece's own art has `piece_id`, no `sheet_id`, and lies in the piece frame; one about
    the layout has `sheet_id` and `placed_ids` and lies in the sheet frame (see geometry.pose).
    `highlight` is the place as a shape, `where_mm` a point in it; `unit` is that of measured and limit.
    """

    rule: str
    severity: Severity
    message: str
    measured: float | None = None
    limit: float | None = None
    unit: str = "mm"
    where_mm: tuple[float, float] | None = None
    piece_id: int | None = None
    sheet_id: int | None = None
    placed_ids: tuple[int, ...] = ()
    highlight: BaseGeometry | None = field(default=None, compare=False, repr=False)

    @property
    def key(self) -> str:
        """Names the finding for a waiver: rule, subject and rounded value, stable under harmless edits."""
        subject = f"piece{self.piece_id}" if self.sheet_id is None else f"sheet{self.sheet_id}"
        pair = "-".join(map(str, sorted(self.placed_ids)))
        value = "" if self.measured is None else f"{self.measured:.2f}"
        return ":".join((self.rule, subject, pair, value))
