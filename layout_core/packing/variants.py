"""The ways each menu item may lie: its outline at each allowed turn, centred on its bounds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely import MultiPolygon, Polygon, affinity
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.pose import Pose
from layout_core.packing.fill import MenuItem, laid_outline

_DETAILED_VERTICES = 240
_DETAIL_MM = 0.06
_ALIKE_SHARE = 1e-3


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

    def pose(self, x_mm: float, y_mm: float) -> Pose:
        """The pose that puts the centre of the bounds as turned there."""
        return Pose(x_mm + self.pose_dx_mm, y_mm + self.pose_dy_mm, self.turn_deg)


@dataclass(frozen=True, slots=True)
class VariantSet:
    """All variants of a menu, item by item, and which of them stands for a turn that looks alike."""

    all: tuple[Variant, ...]
    _alike: Mapping[tuple[int, int, int], int]

    def find(self, item: int, family: int, quarter: int) -> int:
        """The position in `all` of the variant that stands for that turn."""
        return self._alike[item, family, quarter]

    def of_item(self, item: int) -> tuple[int, ...]:
        return tuple(number for number, variant in enumerate(self.all) if variant.item == item)


def variants_of(menu: Sequence[MenuItem], angles_deg: Sequence[float]) -> VariantSet:
    """Every item at its turn plus each angle and each quarter turn of it, those that look alike once.

    An item that may not be turned comes once, as it is wanted.
    """
    found: list[Variant] = []
    alike: dict[tuple[int, int, int], int] = {}
    for number, item in enumerate(menu):
        first = len(found)
        for family, angle_deg in enumerate(angles_deg if item.may_turn else (0.0,)):
            for quarter in range(4):
                variant = _variant(item, number, family, quarter, angle_deg)
                twin = next(
                    (n for n in range(first, len(found)) if _look_alike(found[n], variant)), len(found)
                )
                alike[number, family, quarter] = twin
                if twin == len(found):
                    found.append(variant)
    return VariantSet(tuple(found), alike)


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
