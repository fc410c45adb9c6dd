"""The menu as rectpack sees it: each piece a box of whole grid steps, lying as wanted or a quarter turned."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from shapely import MultiPolygon

from layout_core.geometry.pose import Pose, size_mm
from layout_core.packing.covers import GRID_MM, GridBox, cover_boxes, steps_up
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline

_SOLID_SHARE = 0.95
_PIECE_SLICE_MM = 7.62
"""Coarser than round obstacles: a piece is cut out again and again during the search."""


class Spot(NamedTuple):
    """One copy on the grid: position in the menu, quarter turned or not, low corner of its bounds."""

    crate: int
    is_turned: bool
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Crate:
    """One menu item: its bounds on the grid as wanted (width, height), its worth, and how many are wanted."""

    item: MenuItem
    gap_mm: float
    width: int
    height: int
    value: float
    most: int
    _covers: dict[bool, tuple[GridBox, ...]] = field(default_factory=dict, repr=False, compare=False)

    def size(self, is_turned: bool) -> tuple[int, int]:
        return (self.height, self.width) if is_turned else (self.width, self.height)

    @property
    def may_turn(self) -> bool:
        """Whether it may lie a quarter turned from as wanted."""
        return _side_turn_deg(self.item) is not None

    @property
    def has_hollows(self) -> bool:
        """Whether a fair part of the bounds is free of ink, so that something may lie there."""
        width_mm, height_mm = size_mm(_turned(self.item, False))
        return float(self.item.outline.area) < _SOLID_SHARE * width_mm * height_mm

    def covers(self, is_turned: bool) -> tuple[GridBox, ...]:
        """Boxes that hide the true outline grown by the gap, from its low corner; made when asked for."""
        if is_turned not in self._covers:
            shape = _turned(self.item, is_turned)
            min_x, min_y, _, _ = shape.bounds
            self._covers[is_turned] = tuple(cover_boxes(shape, self.gap_mm, -min_x, -min_y, _PIECE_SLICE_MM))
        return self._covers[is_turned]


def crates_of(menu: Sequence[MenuItem], gap_mm: float) -> tuple[Crate, ...]:
    """One crate an item, in the order of the menu."""
    return tuple(_crate(item, gap_mm) for item in menu)


def laid_of(spots: Sequence[Spot], menu: Sequence[MenuItem], sheet: FillSheet) -> tuple[Laid, ...]:
    """The copies with their poses on the sheet, in mm."""
    return tuple(_laid(spot, menu[spot.crate], sheet.margin_mm) for spot in spots)


def _crate(item: MenuItem, gap_mm: float) -> Crate:
    width_mm, height_mm = size_mm(_turned(item, False))
    return Crate(item, gap_mm, steps_up(width_mm), steps_up(height_mm), item.value, item.most)


def _turned(item: MenuItem, is_turned: bool) -> MultiPolygon:
    return laid_outline(item, Pose(0.0, 0.0, _turn_deg(item, is_turned)))


def _turn_deg(item: MenuItem, is_turned: bool) -> float:
    return (item.turn_deg + ((_side_turn_deg(item) or 0.0) if is_turned else 0.0)) % 360.0


def _side_turn_deg(item: MenuItem) -> float | None:
    return next((turn for turn in (90.0, 270.0) if turn in item.turns_deg), None)


def _laid(spot: Spot, item: MenuItem, margin_mm: float) -> Laid:
    min_x, min_y, _, _ = _turned(item, spot.is_turned).bounds
    x_mm, y_mm = margin_mm + spot.x * GRID_MM - min_x, margin_mm + spot.y * GRID_MM - min_y
    return Laid(item.key, Pose(x_mm, y_mm, _turn_deg(item, spot.is_turned)))
