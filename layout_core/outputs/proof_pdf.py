"""The layout proof as a document of several pages, for the whole job or for one order alone."""

from collections.abc import Sequence

from layout_core.checks.findings import Finding
from layout_core.job.approvals import shown_digest
from layout_core.job.model import Job
from layout_core.outputs.drawing import Drawing
from layout_core.outputs.drawing_pdf import to_pdf
from layout_core.outputs.pages import Running, paged
from layout_core.outputs.proof import proof_scope, proof_sections
from layout_core.outputs.proof_mockups import mockups
from layout_core.outputs.proof_spelling import spelling
from layout_core.outputs.proof_style import DPI

_GAP = 56.0


def proof_pages(job: Job, findings: Sequence[Finding], *, order_id: int | None = None) -> tuple[Drawing, ...]:
    """The pages on letter paper. What `layout_proof` shows, and garment mock-ups and the spelling block.

    With `order_id` it shows that order alone, in its metadata too. Raises as `layout_proof` does.
    """
    scope = proof_scope(job, findings, order_id)
    sections = proof_sections(scope)
    sections["pieces"] = (*sections["pieces"], mockups(scope), spelling(scope))
    # what is counted and what is wrong fill the first page; the sheets take one of their own
    first = ("head", "ordered", "findings")
    blocks = [
        block
        for name in (*first, *(name for name in sections if name not in first))
        for block in sections[name]
    ]
    kind = "Layout proof" if scope.is_whole else "Layout proof of one order"
    running = Running(
        f"{kind} · {scope.title} · revision {scope.job.revision} · {shown_digest(scope.digest)} · "
        "no proof of colour",
        f"Layout proof: {scope.title}",
    )
    return paged(blocks, _GAP, running)


def proof_pdf(job: Job, findings: Sequence[Finding], *, order_id: int | None = None) -> bytes:
    """The pages of `proof_pages` as PDF bytes; the same job and findings give the same bytes."""
    return to_pdf(proof_pages(job, findings, order_id=order_id), dpi=DPI)
