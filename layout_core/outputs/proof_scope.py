"""What one layout proof speaks of: the whole job, or one order with every trace of the others left out.

Everything the proof draws is read from a `ProofScope`, so a proof for an order cannot show what is not in it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from layout_core.checks.findings import Finding
from layout_core.job.approvals import ApprovalState, approval_of, approval_state, printable_digest
from layout_core.job.model import Approval, Job, Order, Piece, Waiver
from layout_core.job.placements import Placement, load_placements


@dataclass(frozen=True, slots=True)
class ProofScope:
    """The part of a job that a proof may show.

    For one order `job` holds that order, its pieces, their art and its waivers alone, and no sheet; `title`
    is the order's name. `digest` identifies what is printed of it (see job.approvals), `approval` is an
    earlier signature and `approval_state` whether it still holds. `printed` counts each piece's copies over
    all sheets and runs, `laid` its copies on one of each sheet. `idle_fillers` names the shop's fillers that
    lie nowhere; they are no pieces of the proof.
    """

    job: Job
    title: str
    customer: str
    digest: str
    findings: tuple[Finding, ...]
    placements: tuple[Placement, ...]
    laid: dict[int, int]
    printed: dict[int, int]
    is_whole: bool
    approval: Approval | None
    approval_state: ApprovalState
    idle_fillers: tuple[str, ...] = ()

    def number(self, piece_id: int) -> int:
        """The piece's number on this proof, from 1."""
        return next(n for n, piece in enumerate(self.job.pieces, 1) if piece.piece_id == piece_id)

    def placement(self, piece: Piece) -> Placement | None:
        """The piece's placement, None when the shop's table has lost it."""
        return next((placement for placement in self.placements if placement.key == piece.placement), None)

    def order(self, piece: Piece) -> Order | None:
        return next((order for order in self.job.orders if order.order_id == piece.order_id), None)

    def garment_colour(self, piece: Piece) -> str:
        """The colour of the first order line that uses the piece, else the job's."""
        lines = (line for order in self.job.orders for line in order.lines if line.piece_id == piece.piece_id)
        return next((line.garment_colour for line in lines), self.job.garment_colour)

    def waiver(self, finding: Finding) -> Waiver | None:
        return next((waiver for waiver in self.job.waivers if waiver.finding_key == finding.key), None)


def whole_scope(job: Job, findings: Sequence[Finding]) -> ProofScope:
    """The shop's own view: everything but fillers that found no room, which are only named."""
    laid = _laid(job)
    idle = tuple(piece for piece in job.pieces if piece.filler and not laid[piece.piece_id])
    idle_ids = {piece.piece_id for piece in idle}
    return ProofScope(
        replace(job, pieces=tuple(piece for piece in job.pieces if piece.piece_id not in idle_ids)),
        job.name,
        ", ".join(dict.fromkeys(order.customer for order in job.orders)),
        printable_digest(job),
        tuple(found for found in findings if found.piece_id not in idle_ids),
        load_placements(),
        laid,
        _printed(job),
        True,
        approval_of(job, None),
        approval_state(job, None),
        tuple(piece.name for piece in idle),
    )


def order_scope(job: Job, findings: Sequence[Finding], order_id: int) -> ProofScope:
    """One customer's view. Raises KeyError for an order the job does not have.

    Findings about a sheet are left out: they say where other customers' pieces lie.
    """
    order = job.order(order_id)
    pieces = tuple(piece for piece in job.pieces if piece.order_id == order_id)
    own = {piece.piece_id for piece in pieces}
    kept = tuple(found for found in findings if found.sheet_id is None and found.piece_id in own)
    keys = {found.key for found in kept}
    part = replace(
        job, name=order.name, orders=(order,), pieces=pieces, sheets=(), approvals=(), next_id=1,
        arts=tuple(art for art in job.arts if art.art_id in {piece.art_id for piece in pieces}),
        waivers=tuple(waiver for waiver in job.waivers if waiver.finding_key in keys),
    )  # fmt: skip
    laid = {key: count for key, count in _laid(job).items() if key in own}
    printed = {key: count for key, count in _printed(job).items() if key in own}
    return ProofScope(
        part,
        order.name,
        order.customer,
        printable_digest(job, order_id),
        kept,
        load_placements(),
        laid,
        printed,
        False,
        approval_of(job, order_id),
        approval_state(job, order_id),
    )


def _laid(job: Job) -> dict[int, int]:
    return {piece.piece_id: job.copies_placed(piece.piece_id) for piece in job.pieces}


def _printed(job: Job) -> dict[int, int]:
    counts = dict.fromkeys((piece.piece_id for piece in job.pieces), 0)
    for sheet in job.sheets:
        for placed in sheet.placed:
            counts[placed.piece_id] += sheet.run
    return counts
