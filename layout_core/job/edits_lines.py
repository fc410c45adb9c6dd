"""Pure edits that turn order rows into order lines, with the pieces their garment sizes need."""

from collections.abc import Iterable, Sequence
from pathlib import PurePath

from layout_core.errors import LayoutError
from layout_core.job.edits_art import add_piece
from layout_core.job.edits_job import known
from layout_core.job.edits_order import set_order_lines
from layout_core.job.garment_sizes import group_of
from layout_core.job.model import Art, Job, OrderLine, Piece
from layout_core.job.order_lines import OrderRow
from layout_core.job.placements import load_placements, placement_named, preset_width_mm

_SAME_WIDTH_MM = 0.01


def add_order_rows(job: Job, order_id: int, rows: Iterable[OrderRow]) -> Job:
    """The job with these rows as further lines of the order, and the pieces they need.

    Toddler, youth, adult and plus sizes each get a piece at their own preset width for the placement; sizes
    of the same width share one, and a piece the order already has is used again. A design is the name of an
    art in the job. Raises LayoutError that names the row for an unknown design, placement or size.
    """
    order = known(job.order, order_id, "order")
    lines: list[OrderLine] = list(order.lines)
    for row in rows:
        try:
            job, added = _lines_of(job, order_id, row)
        except LayoutError as error:
            raise LayoutError(f"row {row.row}: {error}") from error
        lines += added
    return set_order_lines(job, order_id, lines)


def ordered_copies(job: Job, piece_id: int) -> int:
    """How many garments of all orders get the piece."""
    return sum(line.count for order in job.orders for line in order.lines if line.piece_id == piece_id)


def _lines_of(job: Job, order_id: int, row: OrderRow) -> tuple[Job, list[OrderLine]]:
    """One line a piece: the sizes of the row parted by how wide the print is for them."""
    art = _art_named(job, row.design)
    by_width: list[tuple[float, str, list[tuple[str, int]]]] = []
    placement = placement_named(row.placement.casefold(), load_placements())
    for size, count in row.sizes:
        group = group_of(size)
        if group is None:
            raise LayoutError(f"“{size[:20]}” is no garment size known here")
        width_mm = preset_width_mm(placement, group, art.artwork.aspect)
        same = next((one for one in by_width if abs(one[0] - width_mm) < _SAME_WIDTH_MM), None)
        if same is None:
            by_width.append((width_mm, group, [(size, count)]))
        else:
            same[2].append((size, count))
    lines = []
    for width_mm, group, sizes in by_width:
        job, piece = _piece_for(job, order_id, art, (placement.key, group, width_mm), len(by_width) > 1)
        lines.append(OrderLine(0, piece.piece_id, row.garment, row.colour, tuple(sizes)))
    return job, lines


def _piece_for(
    job: Job, order_id: int, art: Art, wanted: tuple[str, str, float], is_one_of_several: bool
) -> tuple[Job, Piece]:
    placement, group, width_mm = wanted
    for piece in job.pieces:
        if (
            (piece.art_id, piece.placement, piece.order_id) == (art.art_id, placement, order_id)
            and abs(piece.width_mm - width_mm) < _SAME_WIDTH_MM
            and not piece.filler
        ):
            return job, piece
    base = PurePath(art.artwork.name).stem or art.artwork.name
    name = f"{base}, {'2XL and up' if group == 'plus' else group}" if is_one_of_several else base
    piece_id = job.next_id
    job = add_piece(
        job, art.art_id, placement=placement, garment_size=group, width_mm=width_mm, name=name,
        order_id=order_id,
    )  # fmt: skip
    return job, job.piece(piece_id)


def _art_named(job: Job, design: str) -> Art:
    word = design.casefold()
    found = [art for art in job.arts if word in _names(art)]
    if len(found) == 1:
        return found[0]
    if found:
        raise LayoutError(f"“{design[:40]}” names {len(found)} arts of the job; give them different names")
    names = ", ".join(art.artwork.name for art in job.arts[:8]) or "none"
    raise LayoutError(f"the job has no art “{design[:40]}”; its art: {names}")


def _names(art: Art) -> Sequence[str]:
    name = art.artwork.name.casefold()
    return name, PurePath(name).stem
