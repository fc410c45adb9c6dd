"""How many garments to take from the shelf and how many prints to press, from the lines of the orders."""

from collections import Counter
from dataclasses import dataclass

from layout_core.job.model import Job, OrderLine, Piece


@dataclass(frozen=True, slots=True)
class Picked:
    """Garments of one kind to take from the shelf for one order."""

    order: str
    garment: str
    colour: str
    fabric: str
    size: str
    count: int


@dataclass(frozen=True, slots=True)
class Pressing:
    """One piece at the press: `wanted` prints of it, of `printed` that come from the sheets.

    `lines` are the order lines that want it; without any, every ordered copy on the sheets is wanted.
    """

    piece: Piece
    lines: tuple[OrderLine, ...]
    wanted: int
    printed: int

    @property
    def spare(self) -> int:
        return self.printed - self.wanted


def picked_garments(job: Job) -> tuple[Picked, ...]:
    """The pick list, order by order.

    Lines of one order with the same garment, colour, fabric and size are the same garments when they are
    printed in different places, so the largest count of any placement is taken; two designs for the same
    placement need a garment each, so those are added up.
    """
    picked: list[Picked] = []
    for order in job.orders:
        counts: dict[tuple[str, str, str, str], Counter[str]] = {}
        for line in order.lines:
            placement = job.piece(line.piece_id).placement
            for size, count in line.sizes:
                key = (line.garment, line.garment_colour or job.garment_colour, line.fabric, size)
                counts.setdefault(key, Counter())[placement] += count
        for (garment, colour, fabric, size), places in counts.items():
            if most := max(places.values()):
                picked.append(Picked(order.name, garment, colour, fabric, size, most))
    return tuple(picked)


def pressings(job: Job) -> tuple[Pressing, ...]:
    """Every piece that lies on a sheet, in the job's order; fillers are wanted by nobody yet."""
    found = []
    for piece in job.pieces:
        printed = sum(
            sheet.run * sum(placed.piece_id == piece.piece_id for placed in sheet.placed)
            for sheet in job.sheets
        )
        lines = tuple(line for order in job.orders for line in order.lines if line.piece_id == piece.piece_id)
        if not printed and not lines:
            continue
        wanted = sum(line.count for line in lines) if lines else 0 if piece.filler else printed
        found.append(Pressing(piece, lines, wanted, printed))
    return tuple(found)
