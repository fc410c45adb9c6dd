"""The layout proof: one tall page a customer approves, for the whole job or for one order alone.

No clock, locale or screen has a part in it: the same job and findings give the same pixels.
"""

from collections.abc import Sequence
from math import ceil

from layout_core.checks.findings import Finding
from layout_core.job.model import Job
from layout_core.outputs.drawing import Drawing, moved
from layout_core.outputs.drawing_png import to_png
from layout_core.outputs.lacking import names_of
from layout_core.outputs.proof_findings import findings as findings_section
from layout_core.outputs.proof_glow import glow
from layout_core.outputs.proof_header import header, orders
from layout_core.outputs.proof_notes import approval, cautions, ordered
from layout_core.outputs.proof_pieces import pieces
from layout_core.outputs.proof_scope import ProofScope, order_scope, whole_scope
from layout_core.outputs.proof_sheet import sheets
from layout_core.outputs.proof_style import DPI, MARGIN, PAGE_WIDTH, Block, stacked
from layout_core.progress import Progress, no_progress


def layout_proof(job: Job, findings: Sequence[Finding], *, order_id: int | None = None) -> Drawing:
    """The proof as a drawing in px; its width is fixed and its height follows what is on it.

    With `order_id` it shows that order alone: no art, name, count or place of another, and no sheet.
    Raises KeyError for an unknown order, TableError when the shop's table of placements has a mistake.
    """
    scope = proof_scope(job, findings, order_id)
    page = stacked((block for blocks in proof_sections(scope).values() for block in blocks), 64)
    height = float(ceil(page.height + 2 * MARGIN))
    title = f"Layout proof: {scope.title}"
    return Drawing(PAGE_WIDTH, height, (moved(page.parts, MARGIN, MARGIN),), title=title)


def proof_scope(job: Job, findings: Sequence[Finding], order_id: int | None) -> ProofScope:
    """What a proof of the order, or of the whole job with None, speaks of."""
    return whole_scope(job, findings) if order_id is None else order_scope(job, findings, order_id)


def proof_sections(scope: ProofScope) -> dict[str, tuple[Block, ...]]:
    """The sections by name, in the order they are read."""
    return {
        "head": (header(scope), orders(scope)),
        "sheets": (sheets(scope),) if scope.is_whole else (),
        "pieces": (pieces(scope),),
        "glow": (glow(scope),),
        "findings": (findings_section(scope),),
        "ordered": (ordered(scope),),
        "approval": (approval(scope),),
        "cautions": (cautions(scope, [*names_of(scope.job), scope.title, scope.customer]),),
    }


def proof_png(
    job: Job, findings: Sequence[Finding], *, order_id: int | None = None, progress: Progress = no_progress
) -> bytes:
    """The proof of `layout_proof` as PNG bytes that state 240 dpi (a page 8.5 in wide)."""
    return to_png(layout_proof(job, findings, order_id=order_id), DPI, progress)
