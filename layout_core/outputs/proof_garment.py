"""The placement sketch of one piece: the garment, the art in place at scale, its distances dimensioned."""

from dataclasses import dataclass

from layout_core.glow.cloth import cloth, is_light
from layout_core.job.model import Piece
from layout_core.job.placements import Placement
from layout_core.outputs.drawing import Box, Outline, Part, Point, Run, line
from layout_core.outputs.garments import Garment, Runs, garment
from layout_core.outputs.laying import laid_placement
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    INK,
    INK_ON_LIGHT,
    MUTED,
    PANEL,
    Block,
    one_line,
    paragraph,
)
from layout_core.outputs.thumbnail import art_scaled, cut_to
from layout_core.units import write_length

_PAD = 18.0
_PLATE = 84.0
_DIMENSION = "#27966A"
_NIGHT, _NIGHT_CLOTH, GLOW = "#060808", "#10171a", "#8DF5C8"
"""Screen colours of the sketch in the dark, invented."""


@dataclass(frozen=True, slots=True)
class _View:
    """Garment mm to panel px: `scale` px to the mm, (x, y) the panel point of the garment's (0, 0)."""

    scale: float
    x: float
    y: float

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return self.x + x_mm * self.scale, self.y + y_mm * self.scale

    def runs(self, runs: Runs) -> Runs:
        moved_runs: list[Run] = [(kind, tuple(self.at(*point) for point in points)) for kind, points in runs]
        return tuple(moved_runs)


def garment_sketch(
    scope: ProofScope, piece: Piece, width: float, height: float, *, in_the_dark: bool = False
) -> Block:
    """A panel of that size in px. A placement missing from the shop's table gets a sentence instead.

    By day it carries the distances; in the dark it shows the idea of the glow, not how bright it is.
    """
    panel = Box(0, 0, width, height, _NIGHT if in_the_dark else PANEL, radius=12)
    placement = scope.placement(piece)
    if placement is None:
        text = f"No sketch: “{piece.placement}” is not in the shop's table of placements."
        words = paragraph(_PAD, height / 2 - 40, text, 20, width - 2 * _PAD, fill=MUTED, lines=4)
        return Block(height, (panel, *words.parts))
    placement = laid_placement(scope.job, piece, placement)
    shape = garment(placement.garment, placement.side, piece.garment_size)
    view = _view(shape, width, height)
    colour = _NIGHT_CLOTH if in_the_dark else scope.garment_colour(piece)
    left_mm, top_mm, size_mm = _art_place(scope, piece, placement, shape)
    x, y = view.at(left_mm, top_mm)
    ink = GLOW if in_the_dark else INK_ON_LIGHT if is_light(cloth(colour)) else INK
    art = art_scaled(scope.job.artwork_of(piece), size_mm[0] * view.scale, ink, x, y)
    parts: tuple[Part, ...] = (
        panel, *_garment_parts(shape, view, colour), cut_to(art, 0, 0, width, height),
    )  # fmt: skip
    if not in_the_dark:
        parts += _dimensions(placement, shape, view, (left_mm, top_mm), size_mm, width)
    return Block(height, parts)


def _view(shape: Garment, width: float, height: float) -> _View:
    wide, high = shape.right_mm - shape.left_mm, shape.bottom_mm - shape.top_mm
    room = width - 2 * _PAD
    scale = min(room / wide, (height - 2 * _PAD) / high)
    return _View(
        scale,
        _PAD + (room - wide * scale) / 2 - shape.left_mm * scale,
        (height - high * scale) / 2 - shape.top_mm * scale,
    )


def _art_place(
    scope: ProofScope, piece: Piece, placement: Placement, shape: Garment
) -> tuple[float, float, tuple[float, float]]:
    """Left and top of the art on the garment, and its size, in mm."""
    wide, high = scope.job.size_of(piece)
    level = _level(placement, shape)
    top = {
        "top": level + placement.drop_mm,
        "centre": level + placement.drop_mm - high / 2,
        "bottom": level - placement.drop_mm - high,
    }[placement.edge]
    centre = -placement.across_mm if placement.side == "back" else placement.across_mm
    return centre - wide / 2, top, (wide, high)


def _level(placement: Placement, shape: Garment) -> float:
    return shape.levels.get(placement.measured_from, 0.0)


def _garment_parts(shape: Garment, view: _View, colour: str) -> tuple[Part, ...]:
    fill = cloth(colour)
    seam = "#8A928E" if is_light(fill) else "#5F6870"
    parts: list[Part] = []
    if shape.behind:
        back = _further(fill)
        parts.append(Outline(view.runs(shape.behind), fill=back, stroke=seam, stroke_width=1.5))
    parts.append(Outline(view.runs(shape.cloth), fill=fill, stroke=seam, stroke_width=1.5))
    parts += [Outline(view.runs(runs), stroke=seam, stroke_width=1.5) for runs in shape.seams]
    return tuple(parts)


def _further(colour: str) -> str:
    """The cloth as it looks further back: towards the middle grey."""
    channels = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#" + "".join(f"{round(channel * 0.75 + 140 * 0.25):02X}" for channel in channels)


def _dimensions(
    placement: Placement,
    shape: Garment,
    view: _View,
    at_mm: Point,
    size_mm: tuple[float, float],
    width: float,
) -> tuple[Part, ...]:
    """The drop, right of the art; and the distance from the middle below it where there is one."""
    left, top = at_mm
    level = _level(placement, shape)
    edge = {"top": top, "centre": top + size_mm[1] / 2, "bottom": top + size_mm[1]}[placement.edge]
    right, y_edge = view.at(left + size_mm[0], edge)
    middle, y_level = view.at(0, level)
    rail = min(right + 16, width - _PLATE - 20)
    parts: list[Part] = [
        line((middle, y_level), (rail + 7, y_level), _DIMENSION, 1.5),
        line((right + 3, y_edge), (rail + 7, y_edge), _DIMENSION, 1.5),
        line((rail, y_level), (rail, y_edge), _DIMENSION, 3.5),
        *_plate(rail + 12, (y_level + y_edge) / 2, placement.drop_mm),
    ]
    if placement.across_mm:
        parts += _across(placement, view, left + size_mm[0] / 2, top + size_mm[1])
    return tuple(parts)


def _across(placement: Placement, view: _View, middle_mm: float, bottom_mm: float) -> tuple[Part, ...]:
    x_middle, y = view.at(0, bottom_mm)
    x_art, _ = view.at(middle_mm, 0)
    y += 16
    return (
        line((x_middle, y - 70), (x_middle, y + 9), _DIMENSION, 1.5, (6, 5)),
        line((x_art, y - 12), (x_art, y + 7), _DIMENSION, 1.5),
        line((x_middle, y), (x_art, y), _DIMENSION, 3.5),
        *_plate((x_middle + x_art) / 2 - _PLATE / 2, y + 26, placement.across_mm),
    )


def _plate(x: float, y: float, length_mm: float) -> tuple[Part, ...]:
    """A measure on white, its left edge at x, centred at y."""
    text = write_length(length_mm, "in", 2)
    return (
        Box(x, y - 15, _PLATE, 30, "#FFFFFF", _DIMENSION, 1.5, 7),
        one_line(x + _PLATE / 2, y + 7, text, 19, _PLATE - 8, weight="bold", anchor="middle"),
    )
