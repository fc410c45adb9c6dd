"""Pure edits of the job as a whole: its name, limits, garment colour, revision, waivers."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from layout_core.errors import LayoutError
from layout_core.job.bounds import (
    MOST_COPIES,
    MOST_NOTE,
    MOST_WAIVERS,
    checked_count,
    checked_sheet,
    checked_text,
    checked_total,
)
from layout_core.job.lighting import Lighting
from layout_core.job.lighting_bounds import checked_lighting
from layout_core.job.limits import PrintLimits, limits_fault, load_limits
from layout_core.job.model import Job, Sheet, Waiver
from layout_core.job.printing import PrintOptions, checked_printing
from layout_core.units import mm

T = TypeVar("T")

START_LENGTH_MM = mm(19)
"""The length of the first sheet of a new job, within what the limits offer. Invented."""


def new_job(name: str = "New job", limits: PrintLimits | None = None) -> Job:
    """A job with one empty sheet. Raises TableError when the table of print limits has a mistake."""
    limits = load_limits() if limits is None else limits
    job = Job(checked_text(name, "the name of the job"), _sound(limits), next_id=2)
    return replace(job, sheets=(checked_sheet(fresh_sheet(limits, 1, "Sheet A")),))


def fresh_sheet(limits: PrintLimits, sheet_id: int, name: str) -> Sheet:
    """An empty sheet of the limits' width, margin and gap."""
    length_mm = min(max(START_LENGTH_MM, limits.sheet_length_least_mm), limits.sheet_length_most_mm)
    return Sheet(sheet_id, name, limits.sheet_width_mm, length_mm, limits.margin_mm, limits.piece_gap_mm)


def rename_job(job: Job, name: str) -> Job:
    return replace(job, name=checked_text(name, "the name of the job"))


def set_revision(job: Job, revision: int) -> Job:
    """The job with the revision that its next proof carries, 1 or more."""
    return replace(job, revision=checked_count(revision, "the revision", 1, MOST_COPIES))


def set_garment_colour(job: Job, garment_colour: str) -> Job:
    return replace(job, garment_colour=checked_text(garment_colour, "the garment colour"))


def set_ink_name(job: Job, ink_name: str) -> Job:
    return replace(job, ink_name=checked_text(ink_name, "the name of the ink"))


def set_lighting(job: Job, lighting: Lighting | None) -> Job:
    """The job judged in another lighting, with its promise; None takes both away."""
    return replace(job, lighting=None if lighting is None else checked_lighting(lighting))


def set_printing(job: Job, printing: PrintOptions) -> Job:
    """The job whose print files and plates are made that way."""
    return replace(job, printing=checked_printing(printing))


def set_limits(job: Job, limits: PrintLimits) -> Job:
    """The job under other limits. A sheet that still has the old margin and gap takes the new ones."""
    _sound(limits)
    old = job.limits

    def following(sheet: Sheet) -> Sheet:
        if (sheet.margin_mm, sheet.gap_mm) != (old.margin_mm, old.piece_gap_mm):
            return sheet
        return checked_sheet(replace(sheet, margin_mm=limits.margin_mm, gap_mm=limits.piece_gap_mm))

    return replace(job, limits=limits, sheets=tuple(map(following, job.sheets)))


def waive(job: Job, key: str, who: str, reason: str) -> Job:
    """The job in which a person accepts the finding of that key; a second waiver replaces the first."""
    waiver = Waiver(
        checked_text(key, "the finding"),
        checked_text(who, "who accepts the finding"),
        checked_text(reason, "the reason", most=MOST_NOTE),
    )
    others = tuple(other for other in job.waivers if other.finding_key != waiver.finding_key)
    checked_total(len(others) + 1, "accepted findings", MOST_WAIVERS)
    return replace(job, waivers=(*others, waiver))


def unwaive(job: Job, key: str) -> Job:
    """The job without that waiver; unchanged when there is none."""
    return replace(job, waivers=tuple(waiver for waiver in job.waivers if waiver.finding_key != key))


def without_waivers_of(job: Job, subjects: set[str]) -> Job:
    """The job without the waivers of findings about e.g. "piece7" or "sheet2" (see `Finding.key`)."""

    def stays(waiver: Waiver) -> bool:
        return subjects.isdisjoint(waiver.finding_key.split(":")[1:2])

    return replace(job, waivers=tuple(filter(stays, job.waivers)))


def known(look_up: Callable[[int], T], key: int, what: str) -> T:
    """The value that `look_up` finds. Raises LayoutError instead of its KeyError."""
    try:
        return look_up(key)
    except KeyError:
        raise LayoutError(f"the job has no {what} {key}") from None


def _sound(limits: PrintLimits) -> PrintLimits:
    fault = limits_fault(limits)
    if fault is not None:
        raise LayoutError(f"print limits {limits.name}: {fault[0]} {fault[1]}")
    return limits
