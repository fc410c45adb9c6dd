"""The cut guide of a sheet: a page for the cutter with numbered cuts and measures, and the lines as SVG."""

from collections import Counter

from shapely import LineString, MultiPolygon

from layout_core.geometry.outline import simplified
from layout_core.job.model import Job, Sheet
from layout_core.outputs.cut_plan import CutPlan, StraightCut
from layout_core.outputs.drawing import Area, Box, Drawing, Outline, Part, Run, circle, line, moved
from layout_core.outputs.drawing_pdf import to_pdf
from layout_core.outputs.pages import ROOM, Running, paged
from layout_core.outputs.proof_header import plural
from layout_core.outputs.proof_scope import whole_scope
from layout_core.outputs.proof_style import (
    ACCENT,
    ACCENT_FILL,
    DPI,
    GUTTER,
    MUTED,
    RULE,
    TEXT,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    stacked,
)
from layout_core.outputs.sheet_ink import printed_shapes
from layout_core.outputs.sheet_svg import line_path, outline_path, page_svg
from layout_core.outputs.typeface import text_width
from layout_core.units import write_length, write_number

_CUT, _CONTOUR, _INK_GREY, _FILM_PAPER = "#C2185B", "#0B6E9E", "#9AA7A0", "#F6F8F6"
_HEAD = 190.0
_TALLEST = ROOM - _HEAD - 60.0
_LIST = 560.0
_ROW = 44.0
_DRAWN_TOLERANCE_MM = 0.1


def cut_guide_pages(job: Job, sheet: Sheet, plan: CutPlan) -> tuple[Drawing, ...]:
    """The pages for the cutter: the sheet to scale with its cuts, and a list of them to tick off."""
    scale = min((WIDTH - _LIST - GUTTER) / sheet.width_mm, _TALLEST / sheet.length_mm)
    picture = _picture(job, sheet, plan, scale)
    rows = [_cut_row(cut) for cut in plan.cuts]
    room = max(1, int((_TALLEST - 150 - _legend(job, sheet).height) // _ROW))
    beside, after = rows[:room], rows[room:]
    left = sheet.width_mm * scale + GUTTER + 20
    words = stacked([_explained(plan, WIDTH - left), *beside, _legend(job, sheet)], 0)
    body = Block(max(picture.height, words.height), (*picture.parts, moved(words.parts, left, 0)))
    sections = [Block(_HEAD - 40, _head(job, sheet, plan)), body]
    if after:
        sections.append(stacked([heading("More cuts"), *after], 0))
    title = f"Cut guide: {job.name}, {sheet.name}"
    return paged(sections, 20, Running(f"{title} · {plural(sheet.run, 'sheet')}", title))


def cut_guide_pdf(job: Job, sheet: Sheet, plan: CutPlan) -> bytes:
    """The pages of `cut_guide_pages` as PDF bytes; the same job gives the same bytes."""
    return to_pdf(cut_guide_pages(job, sheet, plan), dpi=DPI)


def cut_guide_svg(sheet: Sheet, plan: CutPlan) -> bytes:
    """The cut lines at true size, mm: group "straight" in the order of the cuts, then group "outlines"."""
    straight = "".join(f'<path id="cut-{cut.number}" d="{line_path(_line_of(cut))}"/>\n' for cut in plan.cuts)
    contours = "".join(
        f'<path id="outline-{one.placed_id}" d="{outline_path(one.shape)}"/>\n' for one in plan.contours
    )
    body = (
        f'<g id="straight" fill="none" stroke="{_CUT}" stroke-width="0.1">\n{straight}</g>\n'
        f'<g id="outlines" fill="none" stroke="{_CONTOUR}" stroke-width="0.1">\n{contours}</g>\n'
    )
    return page_svg(body, sheet.width_mm, sheet.length_mm)


def _line_of(cut: StraightCut) -> LineString:
    return LineString(cut.ends_mm)


def _head(job: Job, sheet: Sheet, plan: CutPlan) -> tuple[Part, ...]:
    tag_width = text_width("CUT GUIDE", 24, "bold")
    size = " × ".join(write_number(side, "in", 2) for side in (sheet.width_mm, sheet.length_mm))
    return (
        Box(0, 0, tag_width + 36, 46, ACCENT_FILL, radius=8),
        one_line(18, 32, "CUT GUIDE", 24, tag_width + 1, weight="bold", fill=ACCENT),
        one_line(0, 112, sheet.name, 56, WIDTH - 700, weight="extrabold"),
        one_line(
            WIDTH, 36, f"{plural(sheet.run, 'sheet')} of {size} in", 28, 680, weight="bold", anchor="end"
        ),
        one_line(WIDTH, 76, f"{plural(plan.copies, 'piece')} on each", 24, 680, fill=MUTED, anchor="end"),
        one_line(WIDTH, 112, job.name, 24, 680, fill=MUTED, anchor="end"),
        line((0, 134), (WIDTH, 134), TEXT, 2.5),
    )


def _explained(plan: CutPlan, width: float) -> Block:
    """What to do, before the list of straight cuts."""
    texts = []
    if plan.cuts:
        texts.append(
            f"{plural(len(plan.cuts), 'straight cut')}, in this order, each from edge to edge. Cut 1 "
            f"makes the halves 1A (upper or left) and 1B (lower or right), and so on; measure from the "
            f"top or the left of the half that is named."
        )
    if plan.contours:
        then = "Then cut" if plan.cuts else "Cut"
        texts.append(
            f"{then} {plural(len(plan.contours), 'piece')} along the blue outlines, half the gap from "
            f"the ink: no straight cut parts them."
        )
    if not texts:
        texts.append("Nothing to cut apart.")
    blocks = [paragraph(0, 0, text, 24, width, leading=1.35) for text in texts]
    block = stacked(blocks, 10)
    return Block(block.height + 20, block.parts)


def _cut_row(cut: StraightCut) -> Block:
    edge = "top" if cut.direction == "across" else "left"
    text = f"{cut.direction}, {write_length(cut.from_edge_mm, 'in', 2)} from the {edge}"
    parts = (
        Box(0, 6, 30, 30, "#FFFFFF", TEXT, 2.5, 5),
        *_number(66, 21, cut.number, 17),
        one_line(96, 30, text, 24, 330, weight="semibold"),
        one_line(_LIST - 20, 30, f"of {_block_name(cut.block)}", 23, 150, fill=MUTED, anchor="end"),
        line((0, _ROW - 1), (_LIST - 20, _ROW - 1), RULE, 1),
    )
    return Block(_ROW, parts)


def _legend(job: Job, sheet: Sheet) -> Block:
    """Which piece is which, by the number it has on proof and press ticket."""
    scope = whole_scope(job, ())
    counts = Counter(placed.piece_id for placed in sheet.placed)
    rows = [
        Block(
            38,
            (
                *badge(16, 19, scope.number(piece.piece_id), 15),
                one_line(44, 26, piece.name, 22, _LIST - 130),
                one_line(_LIST - 20, 26, f"× {counts[piece.piece_id]}", 22, 80, weight="bold", anchor="end"),
            ),
        )
        for piece in job.pieces
        if counts[piece.piece_id]
    ]
    if not rows:
        return Block(0, ())
    head = one_line(0, 50, "Pieces, numbered as on proof and ticket", 22, _LIST - 20, fill=MUTED)
    return stacked([Block(66, (head,)), *rows])


def _block_name(block: int) -> str:
    """E.g. "the sheet", "1A" for what lies above or left of cut 1, "1B" for the rest."""
    return "the sheet" if block == 0 else f"{(block + 1) // 2}{'A' if block % 2 else 'B'}"


def _picture(job: Job, sheet: Sheet, plan: CutPlan, scale: float) -> Block:
    matrix = (scale, 0.0, 0.0, scale, 0.0, 0.0)
    wide, high = sheet.width_mm * scale, sheet.length_mm * scale
    parts: list[Part] = [Box(0, 0, wide, high, _FILM_PAPER, "#B9C2BC", 2)]
    parts += [Area(_light(shape), _INK_GREY, matrix) for shape in printed_shapes(job, sheet).values()]
    for contour in plan.contours:
        parts += _contour(contour.shape, scale)
    for cut in plan.cuts:
        start, end = (tuple(value * scale for value in point) for point in cut.ends_mm)
        parts.append(line((start[0], start[1]), (end[0], end[1]), _CUT, 4, (18, 9)))
    parts += _piece_numbers(job, sheet, scale)
    for cut in plan.cuts:
        (x1, y1), (x2, y2) = cut.ends_mm
        along = 0.06 if cut.direction == "across" else 0.12
        parts += _number((x1 + (x2 - x1) * along) * scale, (y1 + (y2 - y1) * along) * scale, cut.number, 20)
    return Block(high, tuple(parts))


def _piece_numbers(job: Job, sheet: Sheet, scale: float) -> list[Part]:
    """Each copy's number at the middle of its ink."""
    scope, pieces = whole_scope(job, ()), {placed.placed_id: placed.piece_id for placed in sheet.placed}
    parts: list[Part] = []
    for placed_id, shape in printed_shapes(job, sheet).items():
        where = shape.representative_point()
        parts += badge(where.x * scale, where.y * scale, scope.number(pieces[placed_id]), 17)
    return parts


def _light(shape: MultiPolygon) -> MultiPolygon:
    return simplified(shape, _DRAWN_TOLERANCE_MM)


def _contour(shape: MultiPolygon, scale: float) -> list[Part]:
    parts: list[Part] = []
    for polygon in shape.geoms:
        points = [(x * scale, y * scale) for x, y in polygon.exterior.coords[:-1]]
        runs: list[Run] = [("M", (points[0],)), *(("L", (point,)) for point in points[1:]), ("Z", ())]
        parts.append(Outline(tuple(runs), stroke=_CONTOUR, stroke_width=3, dash=(12, 7)))
    return parts


def _number(x: float, y: float, number: int, radius: float) -> tuple[Part, ...]:
    """The number of a cut in a disc of the cuts' colour."""
    size = radius * (1.15 if number < 100 else 0.9)
    return (
        circle(x, y, radius, _CUT),
        one_line(
            x, y + size * 0.36, str(number), size, radius * 2, weight="bold", fill="#FFFFFF", anchor="middle"
        ),
    )
