"""Pure edits of the job's orders."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from layout_core.errors import LayoutError
from layout_core.job.approvals import withdraw_approval
from layout_core.job.bounds import MOST_LINES, MOST_ORDERS, checked_line, checked_order, checked_total
from layout_core.job.edits_job import known
from layout_core.job.model import Job, Order, OrderLine, Piece


def add_order(job: Job, name: str, customer: str) -> Job:
    """The job with one more order without lines, whose id is the old `next_id`."""
    checked_total(len(job.orders) + 1, "orders", MOST_ORDERS)
    order = checked_order(Order(job.next_id, name, customer))
    return replace(job, orders=(*job.orders, order), next_id=job.next_id + 1)


def change_order(job: Job, order_id: int, **changes: Any) -> Job:
    """The job with another name or customer in one order."""
    if "lines" in changes:
        raise LayoutError("only the name and customer of an order can be changed")
    return _with_order(job, checked_order(replace(known(job.order, order_id, "order"), **changes)))


def remove_order(job: Job, order_id: int) -> Job:
    """The job without the order and its approval; its pieces stay and belong to the shop."""
    known(job.order, order_id, "order")

    def freed(piece: Piece) -> Piece:
        return replace(piece, order_id=None) if piece.order_id == order_id else piece

    orders = tuple(order for order in job.orders if order.order_id != order_id)
    freed_job = replace(job, orders=orders, pieces=tuple(map(freed, job.pieces)))
    return withdraw_approval(freed_job, order_id)


def set_order_lines(job: Job, order_id: int, lines: Iterable[OrderLine]) -> Job:
    """The job with exactly these lines in the order; a line with the id 0 is new and gets the next id.

    Raises LayoutError for a piece of another order: each customer sees the own pieces only.
    """
    order = known(job.order, order_id, "order")
    old_ids = {line.line_id for line in order.lines}
    next_id, kept = job.next_id, []
    for line in lines:
        piece = known(job.piece, line.piece_id, "piece")
        if piece.order_id not in (None, order_id):
            raise LayoutError(f"{piece.name} belongs to another order than {order.name}")
        if line.line_id == 0:
            line, next_id = replace(line, line_id=next_id), next_id + 1
        elif line.line_id not in old_ids:
            raise LayoutError(f"the order {order.name} has no line {line.line_id}")
        old_ids.discard(line.line_id)
        kept.append(checked_line(line))
    others = sum(len(other.lines) for other in job.orders if other.order_id != order_id)
    checked_total(others + len(kept), "order lines", MOST_LINES)
    return _with_order(replace(job, next_id=next_id), replace(order, lines=tuple(kept)))


def _with_order(job: Job, order: Order) -> Job:
    return replace(job, orders=tuple(order if o.order_id == order.order_id else o for o in job.orders))
