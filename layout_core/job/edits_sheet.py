"""Pure edits of the job's sheets."""

from dataclasses import replace
from typing import Any

from layout_core.errors import LayoutError
from layout_core.job.bounds import MOST_SHEETS, checked_sheet, checked_total
from layout_core.job.edits_job import fresh_sheet, known, without_waivers_of
from layout_core.job.model import Job


def add_sheet(
    job: Job, *, name: str | None = None, width_mm: float | None = None, length_mm: float | None = None
) -> Job:
    """The job with one more empty sheet, whose id is the old `next_id`; by default like the last one."""
    checked_total(len(job.sheets) + 1, "sheets", MOST_SHEETS)
    sheet = fresh_sheet(job.limits, job.next_id, _free_name(job) if name is None else name)
    if job.sheets:
        last = job.sheets[-1]
        sheet = replace(
            sheet,
            width_mm=last.width_mm,
            length_mm=last.length_mm,
            margin_mm=last.margin_mm,
            gap_mm=last.gap_mm,
        )
    sheet = replace(
        sheet,
        width_mm=sheet.width_mm if width_mm is None else width_mm,
        length_mm=sheet.length_mm if length_mm is None else length_mm,
    )
    return replace(job, sheets=(*job.sheets, checked_sheet(sheet)), next_id=job.next_id + 1)


def change_sheet(job: Job, sheet_id: int, **changes: Any) -> Job:
    """The job with other values in one sheet: name, width_mm, length_mm, margin_mm, gap_mm, run.

    What lies on it stays where it is, on the sheet or beyond its new edge.
    """
    if "placed" in changes:
        raise LayoutError("only the name, sizes and run of a sheet can be changed")
    sheet = checked_sheet(replace(known(job.sheet, sheet_id, "sheet"), **changes))
    return replace(job, sheets=tuple(sheet if s.sheet_id == sheet_id else s for s in job.sheets))


def remove_sheet(job: Job, sheet_id: int) -> Job:
    """The job without the sheet and what lies on it. Raises LayoutError for the last sheet."""
    known(job.sheet, sheet_id, "sheet")
    if len(job.sheets) == 1:
        raise LayoutError("the last sheet cannot be removed")
    left = replace(job, sheets=tuple(sheet for sheet in job.sheets if sheet.sheet_id != sheet_id))
    return without_waivers_of(left, {f"sheet{sheet_id}"})


def _free_name(job: Job) -> str:
    """The first of Sheet A, Sheet B, … Sheet Z, Sheet AA, … that no sheet has."""
    taken = {sheet.name for sheet in job.sheets}
    letters = [chr(65 + n) for n in range(26)]
    labels = (*letters, *(first + second for first in letters for second in letters))
    return next(f"Sheet {label}" for label in labels if f"Sheet {label}" not in taken)
