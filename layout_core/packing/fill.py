"""What every filling engine is given and gives back: one sheet, a menu of pieces, the poses found."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.pose import Pose, size_mm, to_sheet
from layout_core.progress import Progress, no_progress

QUARTER_TURNS = (0.0, 90.0, 180.0, 270.0)


@dataclass(frozen=True, slots=True)
class FillSheet:
    """A sheet in mm and what already lies on it: true outlines in the sheet frame, which never move.

    Pieces must keep `margin_mm` to the sheet's edges and `gap_mm` to each other and to every obstacle;
    obstacles may overlap each other and stick out of the sheet.
    """

    width_mm: float
    length_mm: float
    margin_mm: float
    gap_mm: float
    obstacles: tuple[BaseGeometry, ...] = ()


@dataclass(frozen=True, slots=True)
class MenuItem:
    """A piece on offer: outline in its piece frame (mm, placed size), worth `value` each, `most` times.

    `turn_deg` is the turn it is wanted with; an engine may add one of `turns_deg`, but never mirror. One
    that may be turned by all quarters may be laid at any turn by an engine that is asked to.
    """

    key: int
    outline: MultiPolygon
    value: float
    most: int
    turn_deg: float = 0.0
    turns_deg: tuple[float, ...] = QUARTER_TURNS

    @property
    def is_free(self) -> bool:
        """Whether it may be turned by any quarter."""
        return set(QUARTER_TURNS) <= {turn % 360.0 for turn in self.turns_deg}


@dataclass(frozen=True, slots=True)
class Laid:
    """One copy of a menu item on the sheet."""

    key: int
    pose: Pose


@dataclass(frozen=True, slots=True)
class Filling:
    """The best layout found; `is_complete` is False when Stop ended the search early."""

    laid: tuple[Laid, ...]
    is_complete: bool = True


OnBetter = Callable[[tuple[Laid, ...]], None]
"""Hears of each layout that beats the one before, the first included."""


def unheard(laid: tuple[Laid, ...]) -> None:
    """Tell nobody of better layouts."""


class FillEngine(Protocol):
    """Fills one sheet from a menu so that the values laid add up to as much as it can find.

    Must keep gap and margin on true outlines, must not touch the obstacles, must give the same answer for
    the same input, and must answer a `Cancelled` from `progress` with its best layout so far. `effort_s`
    says how long to search, as seconds of a common desktop core counted in work and not by the clock.
    """

    def __call__(
        self,
        sheet: FillSheet,
        menu: Sequence[MenuItem],
        *,
        effort_s: float = ...,
        progress: Progress = no_progress,
        on_better: OnBetter = unheard,
    ) -> Filling: ...


def laid_outline(item: MenuItem, pose: Pose) -> MultiPolygon:
    """The item's true outline on the sheet, in mm in the sheet frame."""
    return to_sheet(item.outline, *size_mm(item.outline), pose)


def value_of(laid: Sequence[Laid], menu: Sequence[MenuItem]) -> float:
    """The summed value of a layout."""
    worth = {item.key: item.value for item in menu}
    return sum(worth[one.key] for one in laid)
