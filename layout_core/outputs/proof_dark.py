"""The dark view of the proof: each piece as the eye sees it at the promised moment and distance.

The picture is worked out in pixels, then drawn as areas of equal brightness, as every writer can.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.artwork import Artwork
from layout_core.checks.cache import Remembered
from layout_core.geometry.outline import valid_union
from layout_core.geometry.pose import at_width
from layout_core.glow.appearance import DarkLook, dark_look
from layout_core.glow.colour import Rgb, hex_of
from layout_core.glow.elements import Elements
from layout_core.glow.picture import DarkPicture, Plate, dark_picture
from layout_core.glow.scene import Scene
from layout_core.glow.visibility import shown_m
from layout_core.job.lighting import Lighting, Promise
from layout_core.job.model import Piece
from layout_core.outputs.drawing import Area, Box, Part, moved
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import GUTTER, MUTED, WIDTH, Block, badge, one_line
from layout_core.outputs.scanline import bands

USUAL_MOMENT = Promise(3.0, 20.0)
"""What is looked at where nothing is promised: the moment the dark view of the window begins with."""

_COLUMNS = 5
_WIDE = (WIDTH - GUTTER * (_COLUMNS - 1)) / _COLUMNS
_HIGH, _FOOT, _EDGE = 250.0, 66.0, 34.0
_NIGHT = "#030405"
_SIDE_PX = 170.0
_FINER = 3
"""Sub-pixels a side that a pixel's share of ink is counted from."""
_SHADES = 14


@dataclass(frozen=True, slots=True)
class _Picture:
    """What is drawn of a piece, from its box's corner, and what is said of it."""

    parts: tuple[Part, ...]
    words: str


_DRAWN: Remembered[_Picture] = Remembered(200)
"""The whole job's proof and each order's show the same pictures."""


def dark_tile(scope: ProofScope, piece: Piece, elements: Elements, scene: Scene, moment: Promise) -> Block:
    """One piece on black, with the finest detail that is left of it or the word that it is gone."""
    artwork = scope.job.artwork_of(piece)
    key = (artwork.outline_digest, piece.width_mm, scene, moment.minutes, moment.distance_m)
    drawn = _DRAWN.get(key, lambda: _drawn(artwork, piece.width_mm, elements, scene, moment))
    foot = (
        *badge(12, _HIGH + 22, scope.number(piece.piece_id), 12),
        one_line(32, _HIGH + 28, piece.name, 19, _WIDE - 36, weight="medium"),
        one_line(32, _HIGH + 52, drawn.words, 17, _WIDE - 36, fill=MUTED),
    )
    return Block(_HIGH + _FOOT, (Box(0, 0, _WIDE, _HIGH, _NIGHT, radius=10), *drawn.parts, *foot))


def dark_rows(tiles: Sequence[Block], lighting: Lighting, moment: Promise) -> tuple[Block, ...]:
    """The tiles in rows, the first with moment, distance and venue above it."""
    rows = []
    for start in range(0, len(tiles), _COLUMNS):
        beside = tiles[start : start + _COLUMNS]
        parts = tuple(moved(tile.parts, n * (_WIDE + GUTTER), 0) for n, tile in enumerate(beside))
        rows.append(Block(_HIGH + _FOOT + 14, parts))
    head, first = _head(lighting, moment), rows[0]
    return Block(head.height + first.height, (*head.parts, moved(first.parts, 0, head.height))), *rows[1:]


def _head(lighting: Lighting, moment: Promise) -> Block:
    words = (
        f"What the eye sees from {shown_m(moment.distance_m)}, {moment.minutes:.4g} min after lights-out, "
        f"{lighting.venue.name}"
    )
    aside = "brightness by how far above the threshold it is; each piece as large as its box"
    title = one_line(0, 40, words, 22, WIDTH * 0.6, weight="bold")
    return Block(64, (title, one_line(WIDTH, 40, aside, 17, WIDTH * 0.4 - 20, fill=MUTED, anchor="end")))


def _drawn(artwork: Artwork, wide_mm: float, elements: Elements, scene: Scene, moment: Promise) -> _Picture:
    high_mm = wide_mm * artwork.aspect
    look = dark_look(elements, scene, moment.minutes, moment.distance_m)
    plate, grouped = _plate(at_width(artwork.outline, wide_mm), wide_mm, high_mm, look)
    picture = dark_picture(plate, grouped)
    if picture is None:
        return _Picture((), "gone")
    scale = min((_WIDE - 2 * _EDGE) / wide_mm, (_HIGH - 2 * _EDGE) / high_mm)
    corner = (_WIDE - wide_mm * scale) / 2, (_HIGH - high_mm * scale) / 2
    return _Picture(_areas(picture, scale, corner), f"finest detail left {look.resolved_mm:.2g} mm")


def _plate(outline: MultiPolygon, wide_mm: float, high_mm: float, look: DarkLook) -> tuple[Plate, DarkLook]:
    """The piece in pixels with elements of one colour taken together, and the look of these groups."""
    scale = _SIDE_PX / max(wide_mm, high_mm)
    columns, rows = max(1, math.ceil(wide_mm * scale)), max(1, math.ceil(high_mm * scale))
    parts = shapely.get_parts(shapely.transform(outline, lambda xy: xy * scale * _FINER))
    colours: list[Rgb] = sorted(set(look.rgb))
    group = np.array([colours.index(rgb) for rgb in look.rgb])
    shares = np.stack(
        [_share(shapely.multipolygons(parts[group == n]), columns, rows) for n in range(len(colours))]
    )
    value = np.array([look.value[group == n].max() for n in range(len(colours))])
    owner = shares.argmax(axis=0).astype(np.intp)
    coverage = np.minimum(shares.sum(axis=0), np.float32(1.0))
    return Plate(coverage, owner, scale), replace(look, value=value, rgb=tuple(colours))


def _share(outline: MultiPolygon, columns: int, rows: int) -> NDArray[np.float32]:
    """How much of each pixel is ink; the outline is in sub-pixels."""
    wide, high = columns * _FINER, rows * _FINER
    bits = np.concatenate([np.unpackbits(band, axis=1)[:, :wide] for band in bands(outline, wide, high)])
    found: NDArray[np.float32] = bits.reshape(rows, _FINER, columns, _FINER).mean(
        axis=(1, 3), dtype=np.float32
    )
    return found


def _areas(picture: DarkPicture, scale: float, corner: tuple[float, float]) -> tuple[Part, ...]:
    """The picture as areas, each brighter one on top of the one before; page px from the tile's corner."""
    green = picture.rgbx[..., 1].astype(np.float64)
    levels = np.linspace(0.0, float(green.max()), _SHADES + 1)[:-1] + float(green.max()) / _SHADES / 2.0
    generator = contourpy.contour_generator(z=green, name="serial", fill_type=contourpy.FillType.OuterOffset)
    px = scale / picture.px_per_mm
    shift = (0.5 - picture.room_px) * px
    matrix = (px, 0.0, 0.0, px, corner[0] + shift, corner[1] + shift)
    frame = shapely.box(*_frame(corner, px, shift))
    flat = picture.rgbx.reshape(-1, 4)
    tone = flat[:, 1].astype(np.int64)
    parts: list[Part] = []
    for level in levels.tolist():
        shape = shapely.intersection(_above(generator, level), frame)
        red, green_of, blue = flat[np.abs(tone - level - levels[0]).argmin(), :3].tolist()
        if not shape.is_empty:
            parts.append(Area(shape, hex_of((red, green_of, blue)), matrix))
    return tuple(parts)


def _frame(corner: tuple[float, float], px: float, shift: float) -> tuple[float, float, float, float]:
    """The tile in the picture's own pixels: what the blur throws beyond it is not drawn."""
    left, top = (-corner[0] - shift) / px, (-corner[1] - shift) / px
    return left, top, left + _WIDE / px, top + _HIGH / px


def _above(generator: contourpy.ContourGenerator, level: float) -> BaseGeometry:
    outlines, offsets = generator.filled(level, 1e9)  # type: ignore[misc]  # as the fill type says
    found = [
        Polygon(points[ends[0] : ends[1]], [points[a:b] for a, b in pairwise(ends[1:])])
        for points, ends in zip(outlines, offsets, strict=True)
    ]
    simple = shapely.simplify(np.array(found, dtype=object), 0.15)
    whole: BaseGeometry = MultiPolygon([one for one in simple if isinstance(one, Polygon)])
    return whole if whole.is_valid else valid_union(whole)
