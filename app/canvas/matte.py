"""Where each sheet lies on the endless matte; millimetres, x right, y down."""

from collections.abc import Iterable
from dataclasses import dataclass

from layout_core.job.model import Sheet

SPACING_MM = 64.0
"""Room between two sheets: the ruler of the right one and a strip to let go of pieces on."""


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """One sheet's rectangle on the matte; (x_mm, y_mm) is its top-left corner."""

    sheet_id: int
    x_mm: float
    y_mm: float
    width_mm: float
    length_mm: float

    def holds(self, x_mm: float, y_mm: float, slack_mm: float = 0.0) -> bool:
        """Whether a matte point lies on the sheet, or within the slack of it."""
        return (
            -slack_mm <= x_mm - self.x_mm <= self.width_mm + slack_mm
            and -slack_mm <= y_mm - self.y_mm <= self.length_mm + slack_mm
        )

    def to_sheet(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """A matte point in the sheet frame."""
        return x_mm - self.x_mm, y_mm - self.y_mm


@dataclass(frozen=True, slots=True)
class Matte:
    """All sheets of a job, side by side in their order."""

    places: tuple[SheetPlace, ...] = ()

    def place(self, sheet_id: int) -> SheetPlace:
        """Raises KeyError for a sheet that is not on the matte."""
        for place in self.places:
            if place.sheet_id == sheet_id:
                return place
        raise KeyError(f"no sheet {sheet_id} on the matte")

    def sheet_at(self, x_mm: float, y_mm: float) -> SheetPlace | None:
        return next((place for place in self.places if place.holds(x_mm, y_mm)), None)

    def nearest(self, x_mm: float, y_mm: float) -> SheetPlace | None:
        """The sheet under or closest to a matte point; None on a matte without sheets."""

        def distance(place: SheetPlace) -> float:
            beside = max(place.x_mm - x_mm, 0.0, x_mm - place.x_mm - place.width_mm)
            above = max(place.y_mm - y_mm, 0.0, y_mm - place.y_mm - place.length_mm)
            return beside**2 + above**2

        return min(self.places, key=distance, default=None)

    @property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of all sheets; a unit square when there are none."""
        if not self.places:
            return 0.0, 0.0, 1.0, 1.0
        last = self.places[-1]
        return 0.0, 0.0, last.x_mm + last.width_mm, max(place.length_mm for place in self.places)


def lay_sheets(sheets: Iterable[Sheet]) -> Matte:
    """The matte that carries these sheets, tops aligned."""
    places = []
    left_mm = 0.0
    for sheet in sheets:
        places.append(SheetPlace(sheet.sheet_id, left_mm, 0.0, sheet.width_mm, sheet.length_mm))
        left_mm += sheet.width_mm + SPACING_MM
    return Matte(tuple(places))
