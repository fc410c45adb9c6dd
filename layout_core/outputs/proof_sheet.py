"""The sheets on the layout proof: each to one scale on film, with rulers, scale bars and numbered pieces."""

from collections.abc import Sequence
from math import ceil

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.checks.findings import Finding
from layout_core.geometry.pose import affine_to_sheet, at_width, to_sheet
from layout_core.job.model import Job, PlacedPiece, Sheet
from layout_core.outputs.drawing import Area, Box, Matrix, Outline, Part, line, moved
from layout_core.outputs.proof_header import plural
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    DPI,
    FILM,
    FILM_EDGE,
    GUTTER,
    INK,
    MUTED,
    TEXT,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    severity_mark,
    stacked,
)
from layout_core.outputs.thumbnail import cut_to, drawn_outline
from layout_core.units import MM_PER_IN, write_number

_RULER = 46.0
_HEAD = 116.0
_TALLEST = 1680.0
_MOST_PX_PER_IN = 104.0
_BADGE = 16.0
_SMALL_BADGE = 11.0
_BADGE_GRID = 7
_LABELS_FROM_PX = 34.0
"""Rulers name every inch when an inch is at least this long, else every fifth."""


def sheets(scope: ProofScope) -> Block:
    """All sheets in rows, at one scale; a sentence when there are none."""
    job = scope.job
    if not job.sheets:
        return stacked(
            [heading("Sheets"), paragraph(0, 0, "The job has no sheet yet.", 22, WIDTH, fill=MUTED)], 10
        )
    columns = min(len(job.sheets), 3)
    slot = (WIDTH - GUTTER * (columns - 1)) / columns
    scale = _scale(job.sheets, slot)
    ratio = DPI / (scale * MM_PER_IN)
    blocks = [_sheet(scope, sheet, scale, slot) for sheet in job.sheets]
    rows = [_row(blocks[i : i + columns], slot) for i in range(0, len(blocks), columns)]
    return stacked([heading("Sheets", f"drawn 1 : {ratio:.2f} when this page is 8.5 in wide"), *rows], 34)


def _scale(all_sheets: Sequence[Sheet], slot: float) -> float:
    """px to the mm: the widest sheet fits its slot, the longest its height, and none is drawn over-large."""
    widest = max(sheet.width_mm for sheet in all_sheets)
    longest = max(sheet.length_mm for sheet in all_sheets)
    return min((slot - _RULER) / widest, _TALLEST / longest, _MOST_PX_PER_IN / MM_PER_IN)


def _row(blocks: Sequence[Block], slot: float) -> Block:
    parts = tuple(moved(block.parts, i * (slot + GUTTER), 0) for i, block in enumerate(blocks))
    return Block(max(block.height for block in blocks), parts)


def _sheet(scope: ProofScope, sheet: Sheet, scale: float, slot: float) -> Block:
    wide, high = sheet.width_mm * scale, sheet.length_mm * scale
    numbers = (
        "×".join(write_number(side, unit, 2) for side in (sheet.width_mm, sheet.length_mm))
        for unit in ("in", "mm")
    )
    inches, millimetres = (text.replace("×", " × ") for text in numbers)
    facts = f"{inches} in · {millimetres} mm · run {sheet.run} · {plural(len(sheet.placed), 'piece')}"
    legend_left, legend_top, legend_width = 0.0, _HEAD + high + 84, slot
    if slot - wide - _RULER > 420:
        legend_left, legend_top, legend_width = wide + _RULER + 48, _HEAD, slot - wide - _RULER - 48
    legend = _legend(scope, sheet, legend_width)
    parts = (
        one_line(0, 26, sheet.name, 28, slot, weight="bold"),
        one_line(0, 54, facts, 19, slot, fill=MUTED),
        moved(_rulers(sheet, scale), _RULER, _HEAD),
        moved(_film(scope, sheet, scale), _RULER, _HEAD),
        moved(_scale_bars(scale), _RULER, _HEAD + high + 24),
        moved(legend.parts, legend_left, legend_top),
    )
    return Block(max(_HEAD + high + 70, legend_top + legend.height), parts)


def _film(scope: ProofScope, sheet: Sheet, scale: float) -> tuple[Part, ...]:
    wide, high = sheet.width_mm * scale, sheet.length_mm * scale
    shapes = [_on_sheet(scope.job, placed) for placed in sheet.placed]
    parts: list[Part] = [Box(0, 0, wide, high, FILM, FILM_EDGE, 2)]
    parts += [_placed_area(scope.job, placed, sheet, scale) for placed in sheet.placed]
    if sheet.margin_mm > 0:
        parts.append(_margin(sheet, scale))
    radius = _BADGE if scale * MM_PER_IN >= _LABELS_FROM_PX else _SMALL_BADGE
    for placed, (x, y) in zip(sheet.placed, _badge_places(shapes, sheet, radius / scale), strict=True):
        parts += badge(x * scale, y * scale, scope.number(placed.piece_id), radius)
    parts += _marks(scope.findings, sheet, scale, radius)
    if not sheet.placed:
        text = "Nothing lies here yet"
        parts.append(
            one_line(
                wide / 2, high / 2, text, 22, wide - 20, fill="#FFFFFF", anchor="middle", weight="medium"
            )
        )
    return tuple(parts)


def _placed_area(job: Job, placed: PlacedPiece, sheet: Sheet, scale: float) -> Area:
    """The ink as it lies on the film; what sticks out beyond the sheet is cut off."""
    piece = job.piece(placed.piece_id)
    artwork = job.artwork_of(piece)
    wide, high = job.size_of(piece)
    a, b, d, e, x, y = affine_to_sheet(wide, high, placed.pose)
    factor = wide / artwork.width_mm * scale
    matrix: Matrix = (a * factor, b * factor, d * factor, e * factor, x * scale, y * scale)
    area = Area(drawn_outline(artwork), INK, matrix)
    return cut_to(area, 0.0, 0.0, sheet.width_mm * scale, sheet.length_mm * scale)


def _on_sheet(job: Job, placed: PlacedPiece) -> MultiPolygon:
    """The drawn outline in the sheet frame, mm."""
    piece = job.piece(placed.piece_id)
    wide, high = job.size_of(piece)
    return to_sheet(at_width(drawn_outline(job.artwork_of(piece)), wide), wide, high, placed.pose)


def _badge_places(
    shapes: Sequence[MultiPolygon], sheet: Sheet, reach_mm: float
) -> tuple[tuple[float, float], ...]:
    """For each piece the spot in its bounds, of a grid of them, that hides the least ink of any piece."""
    light = shapely.simplify(np.asarray(shapes, dtype=object), 0.3, preserve_topology=False)
    tree = shapely.STRtree(light)
    places = []
    for shape in shapes:
        min_x, min_y, max_x, max_y = shape.bounds
        columns = np.linspace(min_x + reach_mm, max(max_x - reach_mm, min_x + reach_mm), _BADGE_GRID)
        rows = np.linspace(min_y + reach_mm, max(max_y - reach_mm, min_y + reach_mm), _BADGE_GRID)
        x, y = (
            np.clip(side.ravel(), reach_mm, max(most - reach_mm, reach_mm))
            for side, most in zip(np.meshgrid(columns, rows), (sheet.width_mm, sheet.length_mm), strict=True)
        )
        (found, _), distance = tree.query_nearest(
            shapely.points(x, y), return_distance=True, all_matches=True
        )
        free = np.zeros(len(x))
        free[found] = distance.round(3)
        best = int(np.argmax(np.minimum(free, reach_mm)))
        places.append((float(x[best]), float(y[best])))
    return tuple(places)


def _margin(sheet: Sheet, scale: float) -> Part:
    left = sheet.margin_mm * scale
    right, bottom = sheet.width_mm * scale - left, sheet.length_mm * scale - left
    runs = (
        ("M", ((left, left),)),
        ("L", ((right, left),)),
        ("L", ((right, bottom),)),
        ("L", ((left, bottom),)),
        ("Z", ()),
    )
    return Outline(runs, stroke="#D5DAD4", stroke_width=1.5, dash=(8, 6))  # type: ignore[arg-type]


def _marks(findings: Sequence[Finding], sheet: Sheet, scale: float, radius: float) -> list[Part]:
    parts: list[Part] = []
    for found in findings:
        if found.sheet_id == sheet.sheet_id and found.where_mm is not None:
            x = min(max(found.where_mm[0], 0.0), sheet.width_mm)
            y = min(max(found.where_mm[1], 0.0), sheet.length_mm)
            parts += severity_mark(x * scale, y * scale, radius, found.severity)
    return parts


def _rulers(sheet: Sheet, scale: float) -> tuple[Part, ...]:
    """Inch ticks with halves and quarters above and left of the sheet at (0, 0)."""
    inch = MM_PER_IN * scale
    every = 1 if inch >= _LABELS_FROM_PX else 5
    parts: list[Part] = []
    quarters = 4 if inch >= 40 else 1
    for side_mm, across in ((sheet.width_mm, True), (sheet.length_mm, False)):
        for n in range(int(side_mm / MM_PER_IN * quarters + 1e-6) + 1):
            at = n * inch / quarters
            whole = n % quarters == 0
            length = 15.0 if whole else 9.0 if n * 2 % quarters == 0 else 5.0
            ends = ((at, -6.0), (at, -6.0 - length)) if across else ((-6.0, at), (-6.0 - length, at))
            parts.append(line(*ends, MUTED, 1.5))
            if whole and (n // quarters) % every == 0:
                text = str(n // quarters)
                if across:
                    parts.append(one_line(at, -25, text, 14, 30, fill=MUTED, anchor="middle"))
                else:
                    parts.append(one_line(-25, at + 5, text, 14, 24, fill=MUTED, anchor="end"))
    return tuple(parts)


def _scale_bars(scale: float) -> tuple[Part, ...]:
    """One inch and 25 mm at the sheet's scale."""
    parts: list[Part] = []
    x = 0.0
    for length_mm, label in ((MM_PER_IN, "1 in"), (25.0, "25 mm")):
        long = length_mm * scale
        parts += [
            line((x, 8), (x + long, 8), TEXT, 3),
            line((x, 0), (x, 16), TEXT, 3),
            line((x + long, 0), (x + long, 16), TEXT, 3),
            one_line(x + long + 12, 15, label, 18, 80, weight="medium"),
        ]
        x += long + 110
    return tuple(parts)


def _legend(scope: ProofScope, sheet: Sheet, width: float) -> Block:
    """Number, name and count of each piece on the sheet."""
    counts: dict[int, int] = {}
    for placed in sheet.placed:
        counts[placed.piece_id] = counts.get(placed.piece_id, 0) + 1
    columns = max(1, min(3, int(width // 420)))
    column = (width - GUTTER * (columns - 1)) / columns
    listed = sorted(counts, key=scope.number)
    rows = ceil(len(listed) / columns)
    parts: list[Part] = []
    for i, piece_id in enumerate(listed):
        x, y = i // rows * (column + GUTTER), i % rows * 38.0
        parts += badge(x + 15, y + 17, scope.number(piece_id), 14)
        parts.append(
            one_line(x + 40, y + 24, scope.job.piece(piece_id).name, 20, column - 110, weight="medium")
        )
        parts.append(
            one_line(x + column, y + 24, f"× {counts[piece_id]}", 20, 66, weight="bold", anchor="end")
        )
        parts.append(line((x, y + 36), (x + column, y + 36), "#E6EAE6", 1))
    return Block(rows * 38.0, tuple(parts))
