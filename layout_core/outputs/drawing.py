"""A neutral picture: filled areas, strokes, boxes and words on a page, for any writer to put on paper.

Page frame: origin top left, x right, y down; the unit is the drawing's own, "px" or "mm".
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely.geometry.base import BaseGeometry

from layout_core.outputs.typeface import Weight

Matrix = tuple[float, float, float, float, float, float]
"""(a, b, d, e, xoff, yoff), as in geometry.pose: x' = a x + b y + xoff, y' = d x + e y + yoff."""

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]
Run = tuple[Literal["M", "L", "C", "Z"], tuple[Point, ...]]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Area:
    """A polygonal shape, filled (even-odd) after `matrix`. The same shape object is written only once."""

    shape: BaseGeometry
    fill: str
    matrix: Matrix = IDENTITY


@dataclass(frozen=True, slots=True)
class Outline:
    """A path of straight and cubic runs: ("M", (p,)), ("L", (p,)), ("C", (p, p, p)), ("Z", ()).

    `fill` or `stroke` None leaves it out; `dash` is on and off lengths.
    """

    runs: tuple[Run, ...]
    fill: str | None = None
    stroke: str | None = None
    stroke_width: float = 1.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, with rounded corners when `radius` is more than 0."""

    x: float
    y: float
    width: float
    height: float
    fill: str | None = None
    stroke: str | None = None
    stroke_width: float = 1.0
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text with its baseline at y; `most` is the width it was fitted into."""

    x: float
    y: float
    text: str
    size: float
    fill: str
    most: float
    weight: Weight = "regular"
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Group:
    """Parts moved by `matrix` together."""

    parts: tuple["Part", ...]
    matrix: Matrix = IDENTITY


Part = Area | Outline | Box | Words | Group


@dataclass(frozen=True, slots=True)
class Drawing:
    """A page and what is on it, from back to front."""

    width: float
    height: float
    parts: tuple[Part, ...]
    unit: Literal["px", "mm"] = "px"
    ground: str = "#FFFFFF"
    title: str = ""


def moved(parts: tuple[Part, ...], x: float, y: float) -> Group:
    """The parts, shifted together."""
    return Group(parts, (1.0, 0.0, 0.0, 1.0, x, y))


def line(start: Point, end: Point, stroke: str, width: float, dash: tuple[float, ...] = ()) -> Outline:
    """One straight stroke."""
    return Outline((("M", (start,)), ("L", (end,))), stroke=stroke, stroke_width=width, dash=dash)


def polygon(points: Sequence[Point], fill: str | None, stroke: str | None = None) -> Outline:
    """A closed run of straight lines."""
    runs: list[Run] = [("M", (points[0],)), *(("L", (point,)) for point in points[1:]), ("Z", ())]
    return Outline(tuple(runs), fill=fill, stroke=stroke, stroke_width=2.0)


def circle(x: float, y: float, radius: float, fill: str | None, stroke: str | None = None) -> Box:
    """A disc, as a box that is all corners."""
    return Box(x - radius, y - radius, 2 * radius, 2 * radius, fill, stroke, 2.0, radius)


def every_words(parts: tuple[Part, ...]) -> Iterator[Words]:
    """All lines of text, those in groups too."""
    for part in parts:
        if isinstance(part, Words):
            yield part
        elif isinstance(part, Group):
            yield from every_words(part.parts)
