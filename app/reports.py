"""What `check` and `pack` print: the JSON documents, whose keys carry the units, and the lines for people."""

from collections.abc import Sequence
from typing import Any

from layout_core.art.artwork import Artwork
from layout_core.checks.findings import Finding
from layout_core.checks.report import ArtReport
from layout_core.job.model import Job, Sheet
from layout_core.packing.autopack import PackResult
from layout_core.packing.on_sheet import placed_outlines
from layout_core.packing.sheet_use import SheetUse, sheet_use
from layout_core.units import write_area, write_length, write_number

_DIGITS = 4


def check_document(art: str, artwork: Artwork, report: ArtReport) -> dict[str, Any]:
    """The JSON object of one art at a size; `where_mm` lies in the piece frame (see geometry.pose)."""
    return {
        "art": art,
        "size_mm": [_rounded(length) for length in report.size_mm],
        "ink_area_mm2": _rounded(report.ink_area_mm2),
        "elements": report.elements,
        "line_weight_mm": _rounded(report.line_weight_mm),
        "gap_mm": _rounded(report.gap_mm),
        "route": artwork.route,
        "findings": [finding_document(finding) for finding in report.findings],
    }


def finding_document(finding: Finding) -> dict[str, Any]:
    """The JSON object of one finding."""
    where = finding.where_mm
    return {
        "rule": finding.rule,
        "severity": str(finding.severity),
        "measured": _rounded(finding.measured),
        "limit": _rounded(finding.limit),
        "unit": finding.unit,
        "where_mm": None if where is None else [_rounded(where[0]), _rounded(where[1])],
        "message": finding.message,
    }


def check_lines(art: str, artwork: Artwork, report: ArtReport) -> list[str]:
    """One art at a size for a person, in inches: what it is, then a line a finding."""
    width_mm, height_mm = report.size_mm
    lines = [
        f"{art}: {write_number(width_mm)} x {write_length(height_mm)}, "
        f"{write_area(report.ink_area_mm2)} of ink in {_counted(report.elements, 'part')}, {artwork.route}"
    ]
    lines += [f"  note     {note}" for note in artwork.notes]
    lines += [f"  {finding.severity!s:<8} {finding.message}{_place(finding)}" for finding in report.findings]
    return lines if len(lines) > 1 else [*lines, "  nothing to find fault with"]


def pack_document(result: PackResult) -> dict[str, Any]:
    """The JSON object of a packed job: everything that lies on each sheet, and what found no room.

    `x_mm`, `y_mm` are the left and top edge of the copy as it lies, turn included; `width_mm`, `height_mm`
    the size of those bounds. `smallest_gap_mm` is null with fewer than two copies.
    """
    job = result.job
    return {
        "sheets": [_sheet_document(job, sheet) for sheet in job.sheets],
        "unplaced": [
            {"piece": job.piece(piece_id).name, "count": count} for piece_id, count in result.unplaced
        ],
        "seconds": round(result.seconds, 3),
    }


def pack_lines(result: PackResult) -> list[str]:
    """A packed job for a person, in inches: a line a sheet, then what found no room."""
    job = result.job
    lines = [_sheet_line(sheet, sheet_use(job, sheet)) for sheet in job.sheets]
    lines.append(f"{_counted(len(result.added), 'piece')} added in {result.seconds:.1f} s")
    lines += [f"no room for {count} x {job.piece(piece_id).name}" for piece_id, count in result.unplaced]
    return lines


def has_stop(reports: Sequence[ArtReport]) -> bool:
    """Whether any art must not be printed as it is."""
    return any(finding.severity == "stop" for report in reports for finding in report.findings)


def _sheet_document(job: Job, sheet: Sheet) -> dict[str, Any]:
    outlines, use = placed_outlines(job, sheet), sheet_use(job, sheet)
    pieces = []
    for placed in sheet.placed:
        left, top, right, bottom = outlines[placed.placed_id].bounds
        pieces.append(
            {
                "piece": job.piece(placed.piece_id).name,
                "x_mm": _rounded(left),
                "y_mm": _rounded(top),
                "turn_deg": _rounded(placed.pose.turn_deg),
                "width_mm": _rounded(right - left),
                "height_mm": _rounded(bottom - top),
            }
        )
    return {
        "name": sheet.name,
        "width_mm": _rounded(sheet.width_mm),
        "length_mm": _rounded(sheet.length_mm),
        "pieces": pieces,
        "ink_fraction": _rounded(use.ink_fraction),
        "box_fraction": _rounded(use.box_fraction),
        "smallest_gap_mm": _rounded(use.smallest_gap_mm),
    }


def _sheet_line(sheet: Sheet, use: SheetUse) -> str:
    gap = "" if use.smallest_gap_mm is None else f", smallest gap {write_length(use.smallest_gap_mm)}"
    return (
        f"{sheet.name} ({write_number(sheet.width_mm)} x {write_length(sheet.length_mm)}): "
        f"{_counted(len(sheet.placed), 'piece')}, {use.box_fraction:.0%} under boxes, "
        f"{use.ink_fraction:.0%} under ink{gap}"
    )


def _place(finding: Finding) -> str:
    if finding.where_mm is None:
        return ""
    x_mm, y_mm = finding.where_mm
    return f" (at {write_number(x_mm)}, {write_length(y_mm)})"


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _rounded(value: float | None) -> float | None:
    """Millimetres and shares to four digits: finer than any print, and free of noise in the last bits."""
    return None if value is None else round(float(value), _DIGITS) + 0.0
