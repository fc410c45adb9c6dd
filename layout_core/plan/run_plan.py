"""The run plan of a job: which sheet designs, how many of each, at what cost, and how to lay them out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

import shapely

from layout_core.errors import LayoutError, PlanError
from layout_core.job.edits import add_sheet, change_piece, change_sheet, lay_out, remove_sheet
from layout_core.job.edits_lines import ordered_copies
from layout_core.job.model import Job, Piece
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.engines import USUAL_WISH, FillWish
from layout_core.packing.fill import QUARTER_TURNS, FillEngine, FillSheet, Laid, MenuItem
from layout_core.packing.fits import misfits
from layout_core.packing.on_sheet import piece_outline
from layout_core.packing.shapes import fill_with_shapes
from layout_core.packing.straight import fill_with_straight_cuts
from layout_core.packing.variants import without_holes
from layout_core.plan.clock import SLACK, Clock
from layout_core.plan.cuts import area_cut, box_cuts, steps_of
from layout_core.plan.found import Found
from layout_core.plan.money import amount_of
from layout_core.plan.oracle import BOXES_FILL_S, PackingOracle, SheetOracle
from layout_core.plan.prices import PriceList
from layout_core.plan.problem import MOST_DESIGNS, MOST_TEMPLATES, MOST_WANTED, Cut, Design, PlanProblem
from layout_core.plan.search import USUAL_SECONDS, RunSearch, in_stages
from layout_core.plan.two_ways import Way, found_in_two_ways
from layout_core.progress import Progress, no_progress
from layout_core.units import write_length, write_number

_QUARTER_SEGMENTS = 8
_SHAPES_EFFORT_S = 0.8


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """One sheet design: its run, what that costs without set-up, and where copies lie (keys: piece ids)."""

    run: int
    each: Decimal
    cost: Decimal
    laid: tuple[Laid, ...]

    def copies(self, piece_id: int) -> int:
        return sum(one.key == piece_id for one in self.laid)


@dataclass(frozen=True, slots=True)
class PlanPiece:
    """One piece over the whole plan: ordered, asked for with spares, and made."""

    piece_id: int
    name: str
    ordered: int
    wanted: int
    made: int

    @property
    def spares(self) -> int:
        """What is left when every order is served."""
        return self.made - self.ordered


@dataclass(frozen=True, slots=True)
class RunPlan:
    """Sheets, costs as exact amounts, and what is proven.

    `cost` is all sheets, set-ups and shipping. No plan with so many designs of sheet and these prices can
    cost less than `floor`, however it is laid; `boxes_floor` is the same for layouts of upright boxes.
    `is_best_here`: the search ended by itself, so this packer has nothing cheaper. `off_plan` names pieces
    that stand on no order line and are therefore not planned. `wish` is what its layouts follow.
    """

    sheet_size_mm: tuple[float, float]
    sheets: tuple[PlanSheet, ...]
    pieces: tuple[PlanPiece, ...]
    setup: Decimal
    shipping: Decimal
    cost: Decimal
    floor: Decimal
    boxes_floor: Decimal
    is_best_here: bool
    off_plan: tuple[str, ...]
    seconds: float
    wish: FillWish = USUAL_WISH

    @property
    def sheet_count(self) -> int:
        return sum(sheet.run for sheet in self.sheets)

    @property
    def above_floor_percent(self) -> Decimal:
        """How far the cost lies above what nobody can go below, to a tenth of a percent."""
        if not self.floor:
            return Decimal(0)
        return ((self.cost - self.floor) * 100 / self.floor).quantize(Decimal("0.1"))


def run_plan(
    job: Job,
    prices: PriceList,
    *,
    most_designs: int = 4,
    engine: FillEngine = fill_with_boxes,
    oracle: PackingOracle | None = None,
    true_shapes: bool = True,
    wish: FillWish = USUAL_WISH,
    seconds: float = USUAL_SECONDS,
    slack: float = SLACK,
    progress: Progress = no_progress,
) -> RunPlan:
    """The cheapest plan found for everything on the job's order lines, on sheets like the job's first.

    With the box engine the cuts of boxes guide the search, and half of the time goes into laying true
    outlines where boxes say no, unless `true_shapes` says not to; any other engine, or an oracle of its own,
    is held to true outlines only. Of the `wish` it follows straight cuts and whether holes are used; the
    floors hold whatever is wished. `seconds` and `slack` are those of `search`. Raises PlanError, before any
    search, for a job without order lines, for pieces larger than the sheet, counts beyond the limit and
    missing prices; and when so few designs of sheet cannot hold everything, with the piece that makes it so.
    Stop ends it with the best so far, with `Cancelled` when there is none yet.
    """
    if not 1 <= most_designs <= MOST_TEMPLATES:
        raise PlanError(f"a plan has from 1 to {MOST_TEMPLATES} designs of sheet, not {most_designs}")
    pieces = _planned(job)
    sheet = _sheet(job)
    menu = [menu_item(job, piece) for piece in pieces]
    _require_fitting(job, menu, sheet)
    designs = tuple(
        Design(piece.piece_id, piece.name, prices.wanted(ordered_copies(job, piece.piece_id)))
        for piece in pieces
    )
    price = prices.run_price(sheet.width_mm, sheet.length_mm)
    problem = PlanProblem(designs, _box_cuts(menu, sheet), price, job.limits.smallest_run, most_designs)
    outlines = replace(problem, cuts=(_outline_cut(menu, sheet),))
    clock = Clock(seconds, progress, slack=slack)
    if engine is not fill_with_boxes or oracle is not None:
        laying = oracle or SheetOracle(sheet, menu, engine, counts_boxes=False)
        _require_room(job, outlines)
        found = in_stages(RunSearch(outlines, laying, clock), clock)
    else:
        found = _found(job, problem, outlines, _Film(sheet, tuple(menu), wish, true_shapes), clock)
    return _plan(job, prices, problem, found, wish)


@dataclass(frozen=True, slots=True)
class _Film:
    """The sheet, what may lie on it, and what is wished of how it lies."""

    sheet: FillSheet
    menu: tuple[MenuItem, ...]
    wish: FillWish
    true_shapes: bool


def _found(job: Job, boxes: PlanProblem, outlines: PlanProblem, film: _Film, clock: Clock) -> Found:
    """By boxes, in turns with true outlines where boxes leave room in them; or by straight cuts alone."""
    sheet, menu = film.sheet, film.menu
    if film.wish.straight_cuts:
        oracle = SheetOracle(
            sheet, menu, fill_with_straight_cuts, fill_s=BOXES_FILL_S, counts_boxes=False, engine_alone=True
        )
    else:
        if not film.wish.use_holes:
            menu = tuple(replace(item, outline=without_holes(item.outline)) for item in menu)
        oracle = SheetOracle(sheet, menu, fill_s=BOXES_FILL_S)
    has_more = film.true_shapes and oracle.has_hollows and not film.wish.straight_cuts
    _require_room(job, outlines if has_more else boxes)
    shapes = SheetOracle(
        sheet, menu, fill_with_shapes, effort_s=_SHAPES_EFFORT_S, counts_boxes=False, proof_s=0.0
    )
    try:
        if not has_more:
            return in_stages(RunSearch(boxes, oracle, clock, floor_of=outlines), clock)
        by_outlines = replace(outlines, cuts=(_outline_cut(menu, sheet),))
        return found_in_two_ways(Way(boxes, oracle), Way(by_outlines, shapes), outlines, clock)
    except PlanError:
        _require_one_each(job, boxes, shapes if has_more else oracle)
        raise


def lay_out_plan(job: Job, plan: RunPlan) -> Job:
    """The job whose sheets are exactly the plan's, laid out and with their runs.

    The first sheets keep their ids and names, further ones are added or removed; each planned piece counts
    the copies that now lie. Raises LayoutError when locked copies would be lost.
    """
    locked = sum(placed.locked for sheet in job.sheets for placed in sheet.placed)
    if locked:
        raise LayoutError(f"{locked} locked copies lie on the sheets; unlock them, then lay out the plan")
    width_mm, length_mm = plan.sheet_size_mm
    first = job.sheets[0]
    for sheet in job.sheets[len(plan.sheets) :]:
        job = remove_sheet(job, sheet.sheet_id)
    job = replace(job, sheets=tuple(replace(sheet, placed=()) for sheet in job.sheets))
    while len(job.sheets) < len(plan.sheets):
        job = add_sheet(job)
    for sheet, planned in zip(job.sheets, plan.sheets, strict=True):
        job = change_sheet(
            job, sheet.sheet_id, width_mm=width_mm, length_mm=length_mm, margin_mm=first.margin_mm,
            gap_mm=first.gap_mm, run=planned.run,
        )  # fmt: skip
        job = lay_out(job, sheet.sheet_id, [(one.key, one.pose) for one in planned.laid])
    for piece in plan.pieces:
        job = change_piece(job, piece.piece_id, copies=job.copies_placed(piece.piece_id))
    return job


def _planned(job: Job) -> tuple[Piece, ...]:
    pieces = tuple(piece for piece in job.pieces if ordered_copies(job, piece.piece_id))
    if not pieces:
        raise PlanError("no order line counts any garments; add order lines, then plan")
    if len(pieces) > MOST_DESIGNS:
        raise PlanError(f"{len(pieces)} pieces are on order; a plan takes at most {MOST_DESIGNS}")
    for piece in pieces:
        count = ordered_copies(job, piece.piece_id)
        if count > MOST_WANTED:
            raise PlanError(
                f"{piece.name}: {count:,} are ordered; a plan takes at most {MOST_WANTED:,} of one"
            )
    return pieces


def _sheet(job: Job) -> FillSheet:
    first = job.sheets[0]
    return FillSheet(first.width_mm, first.length_mm, first.margin_mm, first.gap_mm)


def menu_item(job: Job, piece: Piece) -> MenuItem:
    """A piece as the packers see it, once, worth the area of its box, turned as it may be."""
    width_mm, height_mm = job.size_of(piece)
    turns_deg = QUARTER_TURNS if piece.may_turn else (0.0,)
    return MenuItem(
        piece.piece_id, piece_outline(job, piece), width_mm * height_mm, 1, piece.turn_deg, turns_deg
    )


def _require_fitting(job: Job, menu: Sequence[MenuItem], sheet: FillSheet) -> None:
    """Refuse every piece that lies on the bare sheet in no way it may be turned, all at once."""
    room = sheet.width_mm - 2 * sheet.margin_mm, sheet.length_mm - 2 * sheet.margin_mm
    large = []
    for key in misfits(sheet, menu):
        piece = job.piece(key)
        width_mm, height_mm = _bounds_mm(next(item for item in menu if item.key == key))
        bar = "" if piece.may_turn else ", not to be turned"
        large.append(f"{piece.name} ({write_number(width_mm)} x {write_length(height_mm)}{bar})")
    if large:
        size = f"{write_number(room[0])} x {write_length(room[1])}"
        raise PlanError(f"larger than the sheet's {size} inside its margin: {', '.join(large[:6])}")


def _require_room(job: Job, problem: PlanProblem) -> None:
    """Refuse when one copy of each piece cannot lie on so many sheets by the cuts alone; names the line."""
    most = problem.most_templates
    for cut in problem.cuts:
        weight = 0
        for design, share in zip(problem.designs, cut.weights, strict=True):
            weight += share
            if weight > most * cut.room:
                raise PlanError(
                    f"{most} design{'s' if most > 1 else ''} of sheet cannot hold one of each piece: "
                    f"there is no room from {_line_words(job, design.key)} on; allow more designs of sheet"
                )


def _require_one_each(job: Job, problem: PlanProblem, oracle: PackingOracle) -> None:
    """Refuse when one copy of each piece, laid sheet after sheet, leaves some over; names their lines."""
    left = [1] * len(problem.designs)
    for _ in range(problem.most_templates):
        laid = {one.key for one in oracle.filled(tuple(left), Clock(math.inf))}
        left = [n * (design.key not in laid) for n, design in zip(left, problem.designs, strict=True)]
    names = [_line_words(job, d.key) for n, d in zip(left, problem.designs, strict=True) if n]
    if names:
        most = problem.most_templates
        raise PlanError(
            f"{most} design{'s' if most > 1 else ''} of sheet cannot hold one of each piece: no room is left "
            f"for {', '.join(names[:6])}; allow more designs of sheet"
        )


def _line_words(job: Job, piece_id: int) -> str:
    """The piece with the orders whose lines ask for it."""
    orders = [
        order.name
        for order in job.orders
        if any(line.piece_id == piece_id and line.count for line in order.lines)
    ]
    return f"{job.piece(piece_id).name} ({', '.join(orders)})"


def _bounds_mm(item: MenuItem) -> tuple[float, float]:
    """Size of the piece as it is wanted to lie, its own turn included."""
    shape = item.outline
    if item.turn_deg:
        shape = shapely.affinity.rotate(shape, item.turn_deg, origin=(0, 0))
    min_x, min_y, max_x, max_y = shape.bounds
    return max_x - min_x, max_y - min_y


def _box_cuts(menu: Sequence[MenuItem], sheet: FillSheet) -> tuple[Cut, ...]:
    barred = [at for at, item in enumerate(menu) if not item.is_free]
    return box_cuts(*steps_of(list(map(_bounds_mm, menu)), sheet), barred)


def _outline_cut(menu: Sequence[MenuItem], sheet: FillSheet) -> Cut:
    """True outlines grown by half the gap cannot overlap, and stay on the film grown likewise.

    A polygon inside the round buffer is used, so the areas err on the small side and the cut stays valid.
    """
    grow_mm = sheet.gap_mm / 2
    areas = [float(item.outline.buffer(grow_mm, quad_segs=_QUARTER_SEGMENTS).area) for item in menu]
    film = (sheet.width_mm - 2 * sheet.margin_mm + sheet.gap_mm) * (
        sheet.length_mm - 2 * sheet.margin_mm + sheet.gap_mm
    )
    return area_cut(areas, film)


def _plan(job: Job, prices: PriceList, problem: PlanProblem, found: Found, wish: FillWish) -> RunPlan:
    def money(coins: int) -> Decimal:
        return amount_of(coins, prices.decimals)

    price, shipping = problem.price, prices.coins(prices.shipping)
    sheets = tuple(
        PlanSheet(one.run, money(price.each(one.run)), money(price.cost(one.run) - price.setup), one.laid)
        for one in found.templates
    )
    templates = [(one.counts, one.run) for one in found.templates]
    surplus = problem.spares(templates)
    pieces = tuple(
        PlanPiece(
            design.key, design.name, ordered_copies(job, design.key), design.wanted,
            design.wanted + spare,
        )
        for design, spare in zip(problem.designs, surplus, strict=True)
    )  # fmt: skip
    planned = {piece.piece_id for piece in pieces}
    return RunPlan(
        sheet_size_mm=(job.sheets[0].width_mm, job.sheets[0].length_mm),
        sheets=sheets,
        pieces=pieces,
        setup=money(price.setup * len(sheets)),
        shipping=money(shipping),
        cost=money(found.cost + shipping),
        floor=money(found.floor + shipping),
        boxes_floor=money(found.packer_floor + shipping),
        is_best_here=found.is_best_here,
        off_plan=tuple(
            piece.name for piece in job.pieces if piece.piece_id not in planned and not piece.filler
        ),
        seconds=found.seconds,
        wish=wish,
    )
