"""Whether a job holds together: ids unique and below `next_id`, references resolved, values in bounds."""

from collections.abc import Container, Iterator

from layout_core.errors import LayoutError
from layout_core.job.approvals import MOST_APPROVALS, checked_approval
from layout_core.job.bounds import (
    MOST_ARTS,
    MOST_COPIES,
    MOST_ID,
    MOST_LINES,
    MOST_NOTE,
    MOST_ORDERS,
    MOST_PIECES,
    MOST_PLACED,
    MOST_SHEETS,
    MOST_WAIVERS,
    checked_art,
    checked_count,
    checked_order,
    checked_piece,
    checked_pose,
    checked_sheet,
    checked_text,
    checked_total,
)
from layout_core.job.lighting_bounds import checked_lighting
from layout_core.job.limits import limits_fault
from layout_core.job.model import Job
from layout_core.job.printing import checked_printing


def require_sound(job: Job) -> None:
    """Raise LayoutError with one sentence about the first thing that no edit could have made."""
    _require_totals(job)
    _require_ids(job)
    _require_words(job)
    fault = limits_fault(job.limits)
    if fault is not None:
        raise LayoutError(f"the print limits do not hold: {fault[0]} {fault[1]}")
    if job.lighting is not None:
        _require_tidy(job.lighting, checked_lighting(job.lighting), "the lighting")
    _require_tidy(job.printing, checked_printing(job.printing), "what the print files hold")
    arts = {art.art_id: art.artwork for art in job.arts}
    for art in job.arts:
        _require_tidy(art, checked_art(art), f"art {_shown(art.artwork.name)}")
    orders = {order.order_id for order in job.orders}
    for piece in job.pieces:
        _require_known(piece.art_id, arts, f"piece {_shown(piece.name)} names an art")
        if piece.order_id is not None:
            _require_known(piece.order_id, orders, f"piece {_shown(piece.name)} names an order")
        _require_tidy(piece, checked_piece(piece, arts[piece.art_id]), f"piece {_shown(piece.name)}")
    _require_sheets(job)
    _require_orders(job)
    _require_approvals(job)


def _require_totals(job: Job) -> None:
    checked_total(len(job.arts), "arts", MOST_ARTS)
    checked_total(len(job.pieces), "pieces", MOST_PIECES)
    checked_total(len(job.sheets), "sheets", MOST_SHEETS)
    checked_total(len(job.orders), "orders", MOST_ORDERS)
    checked_total(len(job.waivers), "accepted findings", MOST_WAIVERS)
    checked_total(sum(len(sheet.placed) for sheet in job.sheets), "placed pieces", MOST_PLACED)
    checked_total(sum(len(order.lines) for order in job.orders), "order lines", MOST_LINES)


def _ids(job: Job) -> Iterator[int]:
    yield from (art.art_id for art in job.arts)
    yield from (piece.piece_id for piece in job.pieces)
    for order in job.orders:
        yield order.order_id
        yield from (line.line_id for line in order.lines)
    for sheet in job.sheets:
        yield sheet.sheet_id
        yield from (placed.placed_id for placed in sheet.placed)


def _require_ids(job: Job) -> None:
    checked_count(job.next_id, "the next id", 1, MOST_ID)
    seen: set[int] = set()
    for number in _ids(job):
        if not 1 <= number < job.next_id:
            raise LayoutError(f"the id {number} is not between 1 and the next id {job.next_id}")
        if number in seen:
            raise LayoutError(f"the id {number} is given twice")
        seen.add(number)


def _require_words(job: Job) -> None:
    checked_count(job.revision, "the revision", 1, MOST_COPIES)
    for text, what in (
        (job.name, "the name of the job"),
        (job.garment_colour, "the garment colour"),
        (job.ink_name, "the ink name"),
        (job.limits.name, "the name of the print limits"),
    ):
        _require_tidy(text, checked_text(text, what), what)
    keys: set[str] = set()
    for waiver in job.waivers:
        for text, most in ((waiver.finding_key, None), (waiver.who, None), (waiver.reason, MOST_NOTE)):
            tidy = (
                checked_text(text, "a waiver") if most is None else checked_text(text, "a waiver", most=most)
            )
            _require_tidy(text, tidy, "a waiver")
        if waiver.finding_key in keys:
            raise LayoutError(f"the finding {_shown(waiver.finding_key)} is accepted twice")
        keys.add(waiver.finding_key)


def _require_sheets(job: Job) -> None:
    pieces = {piece.piece_id for piece in job.pieces}
    for sheet in job.sheets:
        _require_tidy(sheet, checked_sheet(sheet), f"sheet {_shown(sheet.name)}")
        for placed in sheet.placed:
            _require_known(placed.piece_id, pieces, f"sheet {_shown(sheet.name)} names a piece")
            _require_tidy(placed.pose, checked_pose(placed.pose), f"a place on {_shown(sheet.name)}")


def _require_orders(job: Job) -> None:
    pieces = {piece.piece_id: piece for piece in job.pieces}
    for order in job.orders:
        _require_tidy(order, checked_order(order), f"order {_shown(order.name)}")
        for line in order.lines:
            _require_known(line.piece_id, pieces, f"order {_shown(order.name)} names a piece")
            if pieces[line.piece_id].order_id not in (None, order.order_id):
                raise LayoutError(f"order {_shown(order.name)} names a piece of another order")


def _require_approvals(job: Job) -> None:
    checked_total(len(job.approvals), "approvals", MOST_APPROVALS)
    known: set[int | None] = {None, *(order.order_id for order in job.orders)}
    for approval in job.approvals:
        if approval.order_id not in known:
            raise LayoutError(f"an approval names an order that is not there ({approval.order_id})")
        known.discard(approval.order_id)
        _require_tidy(approval, checked_approval(approval), "an approval")


def _require_known(key: int, known: Container[int], what: str) -> None:
    if key not in known:
        raise LayoutError(f"{what} that is not there ({key})")


def _require_tidy(value: object, tidy: object, what: str) -> None:
    if value != tidy:
        raise LayoutError(f"{what} holds words or turns that no edit writes")


def _shown(words: str) -> str:
    """Words of a file that nobody has tidied yet, fit for one line."""
    return repr(words[:40])
