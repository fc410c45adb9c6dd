"""What is said of autopack and the shortest sheet: while they search, and in the end."""

from collections.abc import Sequence
from typing import Literal

from app.messages import Message
from layout_core.job.model import Job, Sheet
from layout_core.packing.autopack import unplaced_copies
from layout_core.units import Unit, write_area, write_length, write_number

_STOPPED = "Stopped early: this is the best layout until then"
_NAMED_MOST = 3


def laid_words(base: Job, job: Job, unit: Unit) -> str:
    """How many copies a layout adds, and the area of their boxes, which is what autopack raises."""
    known = {placed.placed_id for sheet in base.sheets for placed in sheet.placed}
    laid = [p for sheet in job.sheets for p in sheet.placed if p.placed_id not in known]
    sizes = [job.size_of(job.piece(one.piece_id)) for one in laid]
    pieces = "1 piece" if len(laid) == 1 else f"{len(laid):,} pieces"
    return f"{pieces}, {write_area(sum(w * h for w, h in sizes), unit)}"


def length_words(length_mm: float, before_mm: float, unit: Unit) -> str:
    """The length reached, beside the one before."""
    return f"{write_length(length_mm, unit)} long, was {write_number(before_mm, unit)}"


def large_words(job: Job, piece_ids: Sequence[int], unit: Unit) -> Message:
    """Pieces that no sheet can hold, with their sizes."""
    named = []
    for piece_id in piece_ids[:_NAMED_MOST]:
        piece = job.piece(piece_id)
        width_mm, height_mm = job.size_of(piece)
        named.append(f"{piece.name} ({write_number(width_mm, unit)} x {write_length(height_mm, unit)})")
    more = len(piece_ids) - len(named)
    names = ", ".join(named) + (f" and {more} more" if more else "")
    return Message(
        f"Too large for every sheet within its margins: {names}", "on the sheets",
        "Make it smaller, let it turn, or take a wider sheet",
    )  # fmt: skip


def outcome_message(
    base: Job, job: Job, *, is_complete: bool, is_laid: bool
) -> tuple[Message | None, Literal["note", "caution"]]:
    """What is told when autopack ends; None where the sheets say enough."""
    stopped = "" if is_complete else f"{_STOPPED}. "
    if missing := unplaced_copies(job):
        count = sum(one for _, one in missing)
        names = ", ".join(base.piece(piece_id).name for piece_id, _ in missing[:_NAMED_MOST])
        copies = "copy" if count == 1 else "copies"
        what = f"{stopped}{count} ordered {copies} did not fit: {names}"
        return Message(what, "on the sheets", "Add a sheet and autopack again"), "caution"
    if not is_laid:
        what = f"{stopped}Nothing more fits, or every copy lies on a sheet already"
        step = "Mark a piece as filler to use up the film that is left"
        return Message(what, "on the sheets", step), "note"
    if stopped:
        return Message(_STOPPED, "on the sheets", "Autopack again to search on"), "note"
    return None, "note"


def shortened_message(before: Sheet, after: Sheet, unit: Unit, *, is_complete: bool) -> Message:
    """What is told when the search for the shortest sheet ends."""
    stopped = "" if is_complete else "Stopped early. "
    if after == before:
        return Message(f"{stopped}No shorter layout was found", f"on {before.name}", "The sheet is as it was")
    lengths = f"{write_length(after.length_mm, unit)} long, it was {write_length(before.length_mm, unit)}"
    return Message(f"{stopped}{before.name} is now {lengths}", "on the sheets", "Undo brings it back")
