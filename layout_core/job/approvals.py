"""Signed-off proofs: what a signature stands for, and whether that is still what would be printed."""

import hashlib
import json
from dataclasses import replace
from typing import Any, Literal

from layout_core.errors import LayoutError
from layout_core.job.bounds import MOST_ORDERS, checked_text, checked_total
from layout_core.job.edits_job import known
from layout_core.job.model import Approval, Job, Order, Piece

ApprovalState = Literal["none", "holds", "void"]
MOST_APPROVALS = MOST_ORDERS + 1
DIGEST_LENGTH = 64
_SHOWN_DIGITS = 16
_GROUP_DIGITS = 4


def printable_digest(job: Job, order_id: int | None = None) -> str:
    """Identifies what is printed for an order, or with None for the whole job (SHA-256, hex).

    It covers shapes, sizes, placements, counts, garments, ink and underbase; for the whole job also where
    each copy lies and how often each sheet is run. It does not cover names, waivers, locks and fillers that
    lie nowhere, nor where the copies of one order lie: moving them changes nothing that its customer gets.
    Raises KeyError for an unknown order.
    """
    orders = job.orders if order_id is None else (job.order(order_id),)
    counts = _printed(job)
    facts: dict[str, Any] = {
        "ink": job.ink_name,
        "garment_colour": job.garment_colour,
        "pieces": [_piece(job, piece, counts) for piece in _pieces(job, order_id, counts)],
        "orders": [_order(order) for order in orders],
    }
    if job.printing.has_underbase:
        facts["underbase_choke_mm"] = _rounded(job.printing.choke_mm)
    if order_id is None:
        facts["sheets"] = [
            {
                "size": [_rounded(sheet.width_mm), _rounded(sheet.length_mm)],
                "run": sheet.run,
                "placed": sorted(
                    [p.piece_id, _rounded(p.pose.x_mm), _rounded(p.pose.y_mm), _rounded(p.pose.turn_deg)]
                    for p in sheet.placed
                ),
            }
            for sheet in job.sheets
        ]
    return hashlib.sha256(json.dumps(facts, sort_keys=True).encode()).hexdigest()


def shown_digest(digest: str) -> str:
    """The beginning of a digest in groups of four, as proof, ticket and window show it."""
    starts = range(0, _SHOWN_DIGITS, _GROUP_DIGITS)
    return " ".join(digest[start : start + _GROUP_DIGITS] for start in starts)


def sign_off(job: Job, order_id: int | None, who: str, signed_on: str, digest: str | None = None) -> Job:
    """The job with a signed proof of one order, or of all with None; it replaces an earlier one.

    `digest` is the one printed on the proof that was signed, by default today's. `signed_on` is the date as
    it was written. Raises LayoutError for an unknown order or a digest that is none.
    """
    if order_id is not None:
        known(job.order, order_id, "order")
    approval = checked_approval(
        Approval(order_id, printable_digest(job, order_id) if digest is None else digest, who, signed_on)
    )
    others = tuple(one for one in job.approvals if one.order_id != order_id)
    checked_total(len(others) + 1, "approvals", MOST_APPROVALS)
    return replace(job, approvals=(*others, approval))


def withdraw_approval(job: Job, order_id: int | None) -> Job:
    """The job without that approval; unchanged when there is none."""
    return replace(job, approvals=tuple(one for one in job.approvals if one.order_id != order_id))


def approval_of(job: Job, order_id: int | None) -> Approval | None:
    """The signed proof of the order, or of the whole job with None."""
    return next((one for one in job.approvals if one.order_id == order_id), None)


def approval_state(job: Job, order_id: int | None) -> ApprovalState:
    """Whether a signature is there, and whether what it stands for is still what would be printed."""
    approval = approval_of(job, order_id)
    if approval is None:
        return "none"
    return "holds" if approval.digest == printable_digest(job, order_id) else "void"


def checked_approval(approval: Approval) -> Approval:
    """The approval with tidy words. Raises LayoutError for a digest that is none."""
    digest = approval.digest.lower()
    if len(digest) != DIGEST_LENGTH or not set(digest) <= set("0123456789abcdef"):
        raise LayoutError(f"“{approval.digest[:20]}” is not the digest of a proof: 64 signs 0-9 a-f")
    return Approval(
        approval.order_id,
        digest,
        checked_text(approval.who, "who signed the proof"),
        checked_text(approval.signed_on, "the date of the signature"),
    )


def _pieces(job: Job, order_id: int | None, counts: dict[int, int]) -> list[Piece]:
    if order_id is not None:
        return [piece for piece in job.pieces if piece.order_id == order_id]
    return [piece for piece in job.pieces if counts[piece.piece_id] or not piece.filler]


def _piece(job: Job, piece: Piece, counts: dict[int, int]) -> list[Any]:
    outline = job.artwork_of(piece).outline_digest
    width_mm = _rounded(piece.width_mm)
    count = counts[piece.piece_id]
    return [piece.piece_id, outline, width_mm, piece.placement, piece.garment_size, count]


def _order(order: Order) -> list[Any]:
    lines = [
        [line.piece_id, line.garment, line.garment_colour, line.fabric, [list(size) for size in line.sizes]]
        for line in order.lines
    ]
    return [order.order_id, lines]


def _printed(job: Job) -> dict[int, int]:
    counts = dict.fromkeys((piece.piece_id for piece in job.pieces), 0)
    for sheet in job.sheets:
        for placed in sheet.placed:
            counts[placed.piece_id] += sheet.run
    return counts


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
