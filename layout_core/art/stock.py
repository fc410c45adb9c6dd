"""Stock shapes: a kind and its figures, as a value that can be changed again and becomes artwork."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from shapely.geometry.base import BaseGeometry

from layout_core.art import stock_shapes as draw
from layout_core.art.artwork import Artwork
from layout_core.art.badge import EMBLEMS, badge
from layout_core.art.fonts import DEFAULT_FACE
from layout_core.art.made import made_artwork
from layout_core.art.swatch_card import swatch_card
from layout_core.errors import LetteringError
from layout_core.geometry.outline import simplified, valid_union

Value = float | str
Sort = Literal["length", "count", "share", "angle", "words", "choice", "font"]
MOST_WORDS = 80
_FINE_MM = 0.002


@dataclass(frozen=True, slots=True)
class Parameter:
    """One figure of a kind: its words for people, what it is at first, and its range (mm, degrees, shares).

    A "share" is a fraction of the size; "choice" is one of `choices`; "words" and "font" are text.
    """

    name: str
    words: str
    sort: Sort
    default: Value
    least: float = 0.0
    most: float = 0.0
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StockKind:
    """A kind of shape: its key, its name for people and its parameters."""

    key: str
    name: str
    parameters: tuple[Parameter, ...]
    outline: Callable[..., BaseGeometry]


@dataclass(frozen=True, slots=True)
class StockShape:
    """A kind with the value of every parameter, in the kind's order; made by `stock_shape`."""

    kind: str
    parameters: tuple[tuple[str, Value], ...]

    def value(self, name: str) -> Value:
        return dict(self.parameters)[name]


def _length(name: str, words: str, default: float, least: float = 2.0, most: float = 1_000.0) -> Parameter:
    return Parameter(name, words, "length", default, least, most)


def _count(name: str, words: str, default: int, least: int, most: int) -> Parameter:
    return Parameter(name, words, "count", float(default), float(least), float(most))


def _share(name: str, words: str, default: float, least: float, most: float) -> Parameter:
    return Parameter(name, words, "share", default, least, most)


def _angle(name: str, words: str, default: float, most: float) -> Parameter:
    return Parameter(name, words, "angle", default, -most, most)


_KINDS = (
    StockKind(
        "star", "Star",
        (
            _length("size_mm", "Size", 60.0),
            _count("points", "Points", 5, 3, 60),
            _share("depth", "Depth between points", 0.5, 0.05, 0.85),
            _length("corner_mm", "Rounding", 1.0, 0.0, 50.0),
        ),
        draw.star,
    ),
    StockKind(
        "moon", "Crescent moon",
        (
            _length("size_mm", "Size", 60.0),
            _share("fullness", "Fullness", 0.35, 0.1, 0.9),
            _angle("turn_deg", "Turn", -25.0, 360.0),
        ),
        draw.moon,
    ),
    StockKind(
        "ring", "Ring",
        (_length("size_mm", "Size", 60.0), _length("band_mm", "Band", 6.0, 0.5, 500.0)),
        draw.ring,
    ),
    StockKind(
        "burst", "Burst",
        (
            _length("size_mm", "Size", 80.0),
            _count("rays", "Rays", 16, 3, 60),
            _share("hole", "Hole", 0.4, 0.1, 0.9),
            _share("ink", "Width of rays", 0.55, 0.1, 0.9),
            _share("core", "Disc in the middle", 0.6, 0.0, 0.9),
        ),
        draw.burst,
    ),
    StockKind(
        "wave", "Wave band",
        (
            _length("width_mm", "Width", 120.0),
            _length("band_mm", "Band", 5.0, 0.5, 200.0),
            _length("swing_mm", "Swing", 12.0, 0.0, 500.0),
            _count("crests", "Crests", 3, 1, 40),
            _count("bands", "Bands", 2, 1, 12),
            _length("gap_mm", "Gap between bands", 4.0, 0.5, 200.0),
        ),
        draw.wave,
    ),
    StockKind(
        "banner", "Banner",
        (
            _length("width_mm", "Width", 140.0, 10.0),
            _length("height_mm", "Height", 26.0),
            _length("tail_mm", "Tails", 24.0, 1.0, 400.0),
            _angle("bend_deg", "Bend", 30.0, 120.0),
        ),
        draw.banner,
    ),
    StockKind(
        "badge", "Badge with words",
        (
            _length("size_mm", "Size", 90.0, 10.0),
            Parameter("top", "Words above", "words", "MOTH SURVEY"),
            Parameter("bottom", "Words below", "words", "NIGHT WALK"),
            Parameter("emblem", "In the middle", "choice", "moon", choices=EMBLEMS),
            Parameter("font", "Font", "font", DEFAULT_FACE),
        ),
        badge,
    ),
    StockKind(
        "box", "Rounded box",
        (
            _length("width_mm", "Width", 80.0),
            _length("height_mm", "Height", 50.0),
            _length("corner_mm", "Rounding", 8.0, 0.0, 500.0),
            _length("band_mm", "Frame (0 is solid)", 0.0, 0.0, 500.0),
        ),
        draw.box,
    ),
    StockKind(
        "drop", "Drop",
        (_length("height_mm", "Height", 60.0), _share("slimness", "Slimness", 0.5, 0.1, 2.0)),
        draw.drop,
    ),
    StockKind("swatch", "Swatch card", (), swatch_card),
)  # fmt: skip


def stock_kinds() -> tuple[StockKind, ...]:
    """Every kind there is, in the order they are offered."""
    return _KINDS


def stock_kind(key: str) -> StockKind:
    """The kind of that key. Raises LetteringError that says which there are."""
    for kind in _KINDS:
        if kind.key == key:
            return kind
    raise LetteringError(
        f"there is no stock shape “{key[:40]}”; there are {', '.join(k.key for k in _KINDS)}"
    )


def stock_shape(kind: str, **values: Value) -> StockShape:
    """A shape of that kind with these values and its own defaults for the rest.

    Raises LetteringError for an unknown kind or parameter, or a value out of its range.
    """
    found = stock_kind(kind)
    names = [parameter.name for parameter in found.parameters]
    unknown = sorted(set(values) - set(names))
    if unknown:
        raise LetteringError(f"a {found.name.lower()} has no “{unknown[0][:40]}”; it has {', '.join(names)}")
    return StockShape(
        kind, tuple((p.name, _checked(found, p, values.get(p.name, p.default))) for p in found.parameters)
    )


def checked_stock(shape: StockShape) -> StockShape:
    """The shape with every value checked, in the kind's order. Raises LetteringError."""
    values = dict(shape.parameters)
    if len(values) != len(shape.parameters):
        raise LetteringError("a stock shape names one of its figures twice")
    return stock_shape(shape.kind, **values)


def stock_artwork(shape: StockShape) -> Artwork:
    """The shape as artwork at true size. Raises LetteringError when its figures leave nothing to print."""
    tidy = checked_stock(shape)
    kind = stock_kind(tidy.kind)
    arguments: dict[str, Any] = dict(tidy.parameters)
    try:
        outline = simplified(valid_union(kind.outline(**arguments)), _FINE_MM)
    except ValueError as error:
        raise LetteringError(f"a {kind.name.lower()} of these figures cannot be drawn: {error}") from error
    if outline.is_empty:
        raise LetteringError(f"a {kind.name.lower()} of these figures has no ink; change them")
    return made_artwork(kind.name, outline)


def _checked(kind: StockKind, parameter: Parameter, value: Value) -> Value:
    where = f"{kind.name}, {parameter.words.lower()}"
    if parameter.sort in ("words", "font", "choice"):
        if not isinstance(value, str) or len(value) > MOST_WORDS:
            raise LetteringError(f"{where}: must be words, {MOST_WORDS} letters at most")
        text = " ".join("".join(sign if sign.isprintable() else " " for sign in value).split())
        if parameter.choices and text not in parameter.choices:
            raise LetteringError(f"{where}: must be one of {', '.join(parameter.choices)}")
        return text
    if isinstance(value, str | bool) or not math.isfinite(value):
        raise LetteringError(f"{where}: must be a number")
    if not parameter.least <= value <= parameter.most:
        raise LetteringError(
            f"{where}: is {value:g}; it must be from {parameter.least:g} to {parameter.most:g}"
        )
    return float(round(value)) if parameter.sort == "count" else float(value)
