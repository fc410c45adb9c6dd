"""What a page says when no face at hand has some of its characters: in words, never by blank boxes."""

from collections.abc import Iterable

from layout_core.job.model import Job
from layout_core.outputs.proof_style import MUTED, WIDTH, Block, paragraph
from layout_core.outputs.typeface import lacks

LACKING = (
    "Characters that no font at hand has are shown as “?” in the words above; the art is unaffected. "
    "Install a font that has them and make this page again."
)


def lacking_remark(texts: Iterable[str]) -> Block:
    """The remark under texts that cannot all be shown; nothing where they can."""
    if not lacks(" ".join(texts)):
        return Block(0, ())
    return paragraph(0, 0, LACKING, 19, WIDTH, fill=MUTED)


def names_of(job: Job) -> list[str]:
    """Every word of the job that a page may show."""
    texts = [job.name, job.ink_name, job.garment_colour]
    texts += [piece.name for piece in job.pieces] + [sheet.name for sheet in job.sheets]
    for order in job.orders:
        texts += [order.name, order.customer]
        for one in order.lines:
            texts += [one.garment, one.garment_colour, one.fabric, *(size for size, _ in one.sizes)]
    return [*texts, *(f"{waiver.who} {waiver.reason}" for waiver in job.waivers)]
