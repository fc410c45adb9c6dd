"""The ways each menu item may lie: its outline at each allowed turn, centred on its bounds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import shapely
from shapely import MultiPolygon, Polygon, affinity
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.pose import Pose
from layout_core.packing.fill import MenuItem, laid_outline

_DETAILED_VERTICES = 240
_DETAIL_MM = 0.06
_ALIKE_SHARE = 1e-3


class Turn(NamedTuple):
    """An item's position in the menu, which of its angles, and how many quarter turns from there."""

    item: int
    family: int
    quarter: int


@dataclass(frozen=True, slots=True)
class Variant:
    """An item at one turn. `shape` hides the ink, its bounds are centred on the origin.

    `family` numbers the item's turns that are not quarter turns of each other, `quarter` the quarter turns
    from the first of the family. `pose_dx_mm`, `pose_dy_mm` lead from the centre of the bounds as turned
    to the centre of the bounds unturned, which is what a pose is about.
    """

    item: int
    family: int
    quarter: int
    turn_deg: float
    shape: BaseGeometry
    half_w_mm: float
    half_h_mm: float
    pose_dx_mm: float
    pose_dy_mm: float

    @property
    def turn(self) -> Turn:
        return Turn(self.item, self.family, self.quarter)

    def pose(self, x_mm: float, y_mm: float) -> Pose:
        """The pose that puts the centre of the bounds as turned there."""
        return Pose(x_mm + self.pose_dx_mm, y_mm + self.pose_dy_mm, self.turn_deg)


@dataclass(frozen=True, slots=True)
class VariantSet:
    """The variants that may be laid, item by item, and the outline of every quarter turn, allowed or not."""

    all: tuple[Variant, ...]
    _lookalikes: Mapping[Turn, Turn]
    _shapes: Mapping[Turn, BaseGeometry]

    def lookalike(self, turn: Turn) -> Turn:
        """The turn that stands for all that look like this one."""
        return self._lookalikes[turn]

    def shape(self, turn: Turn) -> BaseGeometry:
        """The hiding outline at a turn that stands for others, its bounds centred on the origin."""
        return self._shapes[turn]


def variants_of(menu: Sequence[MenuItem], angles_deg: Sequence[float] = (0.0,)) -> VariantSet:
    """Every item at the turns it may have, those that look alike once.

    A free item may also have each of the angles and its quarter turns.
    """
    found: list[Variant] = []
    lookalikes: dict[Turn, Turn] = {}
    shapes: dict[Turn, BaseGeometry] = {}
    for number, item in enumerate(menu):
        seen: list[Variant] = []
        first = len(found)
        for family, angle_deg in enumerate(angles_deg if item.is_free else (0.0,)):
            for quarter in range(4):
                variant = _variant(item, number, family, quarter, angle_deg)
                twin = next((other for other in seen if _look_alike(other, variant)), variant)
                lookalikes[variant.turn] = twin.turn
                if twin is variant:
                    seen.append(variant)
                    shapes[variant.turn] = variant.shape
                is_known = any(lookalikes[other.turn] == twin.turn for other in found[first:])
                if not is_known and (item.is_free or 90.0 * quarter in item.turns_deg):
                    found.append(variant)
    return VariantSet(tuple(found), lookalikes, shapes)


def turns_deg_of(item: MenuItem, angles_deg: Sequence[float] = (0.0,)) -> tuple[float, ...]:
    """Every turn the item may be laid with, its wanted turn counted in."""
    if not item.is_free:
        return tuple((item.turn_deg + turn) % 360.0 for turn in item.turns_deg)
    return tuple((item.turn_deg + a + 90.0 * q) % 360.0 for a in angles_deg for q in range(4))


def hiding(outline: BaseGeometry) -> BaseGeometry:
    """An outline that hides the given one and is quick to measure."""
    if shapely.get_num_coordinates(outline) <= _DETAILED_VERTICES:
        return outline
    grown = outline.buffer(_DETAIL_MM, quad_segs=4, join_style="mitre", mitre_limit=1.5)
    simple = grown.simplify(_DETAIL_MM)
    return simple if simple.covers(outline) else outline


def without_holes(outline: BaseGeometry) -> MultiPolygon:
    """The outline with every hole closed, and what lies in the holes swallowed."""
    parts = [part for part in shapely.get_parts(outline) if isinstance(part, Polygon)]
    closed = shapely.union_all([Polygon(part.exterior) for part in parts])
    return MultiPolygon([part for part in shapely.get_parts(closed) if isinstance(part, Polygon)])


def _variant(item: MenuItem, number: int, family: int, quarter: int, angle_deg: float) -> Variant:
    turn_deg = (item.turn_deg + angle_deg + 90.0 * quarter) % 360.0
    lying = hiding(laid_outline(item, Pose(0.0, 0.0, turn_deg)))
    x0, y0, x1, y1 = lying.bounds
    middle_x, middle_y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    shape = affinity.translate(lying, -middle_x, -middle_y)
    return Variant(
        number, family, quarter, turn_deg, shape, (x1 - x0) / 2.0, (y1 - y0) / 2.0, -middle_x, -middle_y
    )


def _look_alike(first: Variant, second: Variant) -> bool:
    if abs(first.half_w_mm - second.half_w_mm) > 0.05 or abs(first.half_h_mm - second.half_h_mm) > 0.05:
        return False
    area = float(first.shape.area)
    return bool(first.shape.symmetric_difference(second.shape).area < _ALIKE_SHARE * area)
