"""Lays the copies a job still needs on its sheets, then fills the leftover film with its fillers."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from layout_core.job.bounds import MOST_PLACED
from layout_core.job.edits import lay_out
from layout_core.job.model import Job, Piece, Sheet
from layout_core.packing.audit import breaches
from layout_core.packing.engines import USUAL_WISH, FillWish, engine_named
from layout_core.packing.fill import QUARTER_TURNS, FillEngine, FillSheet, Laid, MenuItem, unheard
from layout_core.packing.fits import misfits
from layout_core.packing.on_sheet import piece_outline, placed_outlines
from layout_core.progress import Progress, no_progress, within


@dataclass(frozen=True, slots=True)
class PackResult:
    """The job with what was added, and what found no room: (piece_id, count), ordered pieces only.

    `is_complete` is False when Stop ended the search; the job then holds the best layout until then.
    """

    job: Job
    added: tuple[int, ...]
    unplaced: tuple[tuple[int, int], ...]
    is_complete: bool
    seconds: float


OnBetterJob = Callable[[Job], None]
"""Hears of the job with each layout that beats the one before."""


def unheard_job(job: Job) -> None:
    """Tell nobody of better layouts."""


def autopack(
    job: Job,
    *,
    sheet_ids: Sequence[int] | None = None,
    engine: str = "boxes",
    wish: FillWish = USUAL_WISH,
    seconds: float | None = None,
    progress: Progress = no_progress,
    on_better: OnBetterJob = unheard_job,
) -> PackResult:
    """Adds the ordered copies that lie nowhere yet, sheet by sheet, then fillers on every sheet given.

    What lies on a sheet already, locked or not, stays where it is. A filler's worth is its width times its
    height. `seconds`, of a common desktop core, are shared out among the sheets; None leaves the engine
    its usual effort for each. `on_better` hears of the job with each better layout, the first at once.
    Raises LayoutError for an unknown engine and KeyError for an unknown sheet. Same job, same result.
    """
    start_s = time.perf_counter()
    fill = engine_named(engine, wish)
    ids = [sheet.sheet_id for sheet in job.sheets] if sheet_ids is None else list(sheet_ids)
    packed, is_complete = job, True
    kinds = [fillers for fillers in (False, True) if (_fillers(job) if fillers else _ordered(job))]
    rounds = [(sheet_id, fillers) for fillers in kinds for sheet_id in ids]
    if seconds is not None and rounds:
        fill = partial(fill, effort_s=seconds / len(rounds))
    for number, (sheet_id, fillers) in enumerate(rounds):
        if not is_complete:
            break
        tick = within(progress, number / len(rounds), (number + 1) / len(rounds))
        whole = _fillers(packed) if fillers else _ordered(packed)
        large = misfits(bare_sheet(packed.sheet(sheet_id)), whole, wish.angles_deg)
        menu = [item for item in whole if item.key not in large]
        packed, is_complete = _filled(packed, packed.sheet(sheet_id), menu, fill, tick, on_better)
    added = tuple(range(job.next_id, packed.next_id))
    return PackResult(packed, added, unplaced_copies(packed), is_complete, time.perf_counter() - start_s)


def unplaced_copies(job: Job) -> tuple[tuple[int, int], ...]:
    """Ordered pieces with copies that lie on no sheet: (piece_id, count), in the job's order."""
    missing = ((piece.piece_id, _missing(job, piece)) for piece in job.pieces if not piece.filler)
    return tuple((piece_id, count) for piece_id, count in missing if count)


def too_large_pieces(
    job: Job, sheet_ids: Sequence[int] | None = None, wish: FillWish = USUAL_WISH
) -> tuple[int, ...]:
    """Ids of pieces still to be laid that fit on none of the sheets, even bare; told before a search."""
    ids = {sheet.sheet_id for sheet in job.sheets} if sheet_ids is None else set(sheet_ids)
    menu = [*_ordered(job), *_fillers(job)]
    left = {item.key for item in menu}
    for sheet in job.sheets:
        if sheet.sheet_id in ids:
            left &= set(misfits(bare_sheet(sheet), menu, wish.angles_deg))
    return tuple(item.key for item in menu if item.key in left)


def bare_sheet(sheet: Sheet) -> FillSheet:
    """The sheet with nothing on it."""
    return FillSheet(sheet.width_mm, sheet.length_mm, sheet.margin_mm, sheet.gap_mm)


def fill_sheet_of(job: Job, sheet: Sheet) -> FillSheet:
    """The sheet with the true outline of everything that lies on it."""
    obstacles = tuple(placed_outlines(job, sheet).values())
    return FillSheet(sheet.width_mm, sheet.length_mm, sheet.margin_mm, sheet.gap_mm, obstacles)


def _filled(
    job: Job,
    sheet: Sheet,
    menu: Sequence[MenuItem],
    fill: FillEngine,
    progress: Progress,
    on_better: OnBetterJob,
) -> tuple[Job, bool]:
    room = MOST_PLACED - sum(len(each.placed) for each in job.sheets)
    if not menu or room <= 0:
        return job, True
    on_sheet = fill_sheet_of(job, sheet)

    def with_laid(laid: Sequence[Laid]) -> Job:
        sound = _sound(on_sheet, laid, menu)[:room]
        return lay_out(job, sheet.sheet_id, [(one.key, one.pose) for one in sound])

    def hear(laid: Sequence[Laid]) -> None:
        on_better(with_laid(laid))

    heard = hear if on_better is not unheard_job else unheard
    filling = fill(on_sheet, menu, progress=progress, on_better=heard)
    return with_laid(filling.laid), filling.is_complete


def _sound(sheet: FillSheet, laid: Sequence[Laid], menu: Sequence[MenuItem]) -> list[Laid]:
    """What keeps gap and margin on true outlines, whatever the engine says; the rest stays unplaced."""
    bad = set(breaches(sheet, laid, menu))
    return [one for number, one in enumerate(laid) if number not in bad]


def _ordered(job: Job) -> list[MenuItem]:
    """Copies still to be laid of every piece that is no filler."""
    wanted = ((piece, _missing(job, piece)) for piece in job.pieces if not piece.filler)
    return [menu_item(job, piece, count) for piece, count in wanted if count]


def _fillers(job: Job) -> list[MenuItem]:
    """The fillers, as many as there is film."""
    return [menu_item(job, piece, MOST_PLACED) for piece in job.pieces if piece.filler]


def menu_item(job: Job, piece: Piece, most: int) -> MenuItem:
    """The piece on offer, worth its width times its height, turned only if it may be."""
    width_mm, height_mm = job.size_of(piece)
    return MenuItem(
        key=piece.piece_id,
        outline=piece_outline(job, piece),
        value=width_mm * height_mm,
        most=most,
        turn_deg=piece.turn_deg,
        turns_deg=QUARTER_TURNS if piece.may_turn else (0.0,),
    )


def _missing(job: Job, piece: Piece) -> int:
    return max(piece.copies - job.copies_placed(piece.piece_id), 0)
