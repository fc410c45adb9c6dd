"""What a little more would change: a few more garments, an inch more of sheet, the film left on a sheet."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from layout_core.job.edits import change_sheet
from layout_core.job.edits_lines import ordered_copies
from layout_core.job.model import Job
from layout_core.packing.engines import engine_named
from layout_core.packing.fill import FillEngine, FillSheet, MenuItem, laid_outline
from layout_core.plan.prices import PriceList
from layout_core.plan.pricing import order_prices, with_more
from layout_core.plan.run_plan import PlanSheet, RunPlan, menu_item, run_plan
from layout_core.progress import Progress, no_progress
from layout_core.units import MM_PER_IN

_EFFORT_S = 0.05
_MOST_MORE = 200

Copies = tuple[tuple[int, int], ...]
"""Piece ids with how many copies of each."""


@dataclass(frozen=True, slots=True)
class Room:
    """What fits on one sheet of a plan beside what lies there: as it is, and were it one inch longer."""

    now: Copies
    with_inch: Copies


@dataclass(frozen=True, slots=True)
class Changed:
    """A plan for something else than asked before, and what it costs more than that plan (less: negative)."""

    plan: RunPlan
    cost: Decimal
    more: Decimal


@dataclass(frozen=True, slots=True)
class MoreGarments:
    """So many more garments of an order: its new total and price of one, and what the sheets cost more."""

    name: str
    count: int
    sheets: Changed
    total: Decimal
    more_total: Decimal
    each: Decimal


def room_of(
    job: Job,
    plan: RunPlan,
    sheet: PlanSheet,
    progress: Progress = no_progress,
) -> Room:
    """What of the planned pieces still fits on the sheet, by their boxes, large ones first."""
    menu = [menu_item(job, job.piece(piece.piece_id)) for piece in plan.pieces]
    engine = engine_named("boxes", plan.wish)
    return Room(*(_more_on(job, plan, sheet, menu, engine, inch, progress) for inch in (0.0, MM_PER_IN)))


def with_garments(
    job: Job,
    plan: RunPlan,
    prices: PriceList,
    order_id: int,
    count: int,
    *,
    most_designs: int = 4,
    seconds: float = 5.0,
    progress: Progress = no_progress,
) -> MoreGarments:
    """What so many more of an order's commonest garment would cost.

    Where the spares of the plan cover them no sheet is added. Raises PlanError as `with_more` and `run_plan`.
    """
    grown = with_more(job, order_id, count)
    before = next(one for one in order_prices(job, plan, prices) if one.order_id == order_id)
    fresh = run_plan(
        grown, prices, most_designs=most_designs, wish=plan.wish, seconds=seconds, progress=progress
    )
    kept = _recounted(grown, plan, prices)
    if kept is not None and kept.cost <= fresh.cost:
        fresh = kept
    after = next(one for one in order_prices(grown, fresh, prices) if one.order_id == order_id)
    changed = Changed(fresh, fresh.cost, fresh.cost - plan.cost)
    return MoreGarments(after.name, count, changed, after.total, after.total - before.total, after.each)


def with_longer_sheet(
    job: Job,
    plan: RunPlan,
    prices: PriceList,
    *,
    most_designs: int = 4,
    seconds: float = 5.0,
    progress: Progress = no_progress,
) -> Changed:
    """What the same orders cost on sheets one inch longer, at the price listed for that size.

    Raises LayoutError beyond the longest sheet that can be printed, PlanError without a price for it.
    """
    first = job.sheets[0]
    longer = change_sheet(job, first.sheet_id, length_mm=first.length_mm + MM_PER_IN)
    fresh = run_plan(
        longer, prices, most_designs=most_designs, wish=plan.wish, seconds=seconds, progress=progress
    )
    return Changed(fresh, fresh.cost, fresh.cost - plan.cost)


def _recounted(job: Job, plan: RunPlan, prices: PriceList) -> RunPlan | None:
    """The same plan for other orders; None when it does not make enough with the spares to be kept."""
    pieces = tuple(
        replace(
            piece, ordered=(ordered := ordered_copies(job, piece.piece_id)), wanted=prices.wanted(ordered)
        )
        for piece in plan.pieces
    )
    is_enough = all(piece.made >= piece.wanted for piece in pieces)
    return replace(plan, pieces=pieces) if is_enough else None


def _more_on(
    job: Job,
    plan: RunPlan,
    sheet: PlanSheet,
    menu: Sequence[MenuItem],
    engine: FillEngine,
    inch_mm: float,
    progress: Progress,
) -> Copies:
    by_key = {item.key: item for item in menu}
    width_mm, length_mm = plan.sheet_size_mm
    film = FillSheet(
        width_mm,
        length_mm + inch_mm,
        job.sheets[0].margin_mm,
        job.sheets[0].gap_mm,
        tuple(laid_outline(by_key[one.key], one.pose) for one in sheet.laid),
    )
    wanted = [replace(item, most=_MOST_MORE) for item in menu]
    laid = engine(film, wanted, effort_s=_EFFORT_S, progress=progress).laid
    counts = ((item.key, sum(one.key == item.key for one in laid)) for item in menu)
    return tuple((key, count) for key, count in counts if count)
