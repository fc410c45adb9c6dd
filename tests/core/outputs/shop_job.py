"""A small job of two customers with garments, fabrics and words, for tests of what leaves the shop."""

from dataclasses import replace

import shapely

from layout_core.art.lettering import Lettering
from layout_core.job.model import Job, OrderLine, Waiver
from tests.gold.scenes import two_order_job
from tests.make import make_artwork

MOTHS, LANTERNS = 11, 12
SECRET = "Zanzibar Quartet"
"""A word that only the other customer's part of the job holds."""


def shop_job() -> Job:
    """Order 11 is private to its customer; order 12 is the one to show. Nothing of it is a stop."""
    job, _ = two_order_job()
    moon, ring, star = job.pieces
    moths, lanterns = job.orders
    lettering = Lettering("LOW TIDE\nWALK")
    words = make_artwork(shapely.box(0, 0, 60, 25), "LOW TIDE WALK")
    arts = tuple(
        replace(art, artwork=words, lettering=lettering) if art.art_id == ring.art_id else art
        for art in job.arts
    )
    return replace(
        job,
        arts=arts,
        pieces=(replace(moon, name=f"{SECRET} moon"), replace(ring, width_mm=60.0), star),
        orders=(
            replace(moths, name=f"{SECRET} night", customer=f"{SECRET} Society", lines=(
                OrderLine(21, 101, "tee", "navy", (("M", 4), ("L", 2)), "cotton"),)),
            replace(lanterns, lines=(
                OrderLine(22, 102, "hoodie", "black", (("S", 3), ("XL", 8)), "fleece"),
                OrderLine(23, 103, "hoodie", "black", (("S", 3), ("XL", 8)), "fleece"),)),
        ),
        waivers=(Waiver("gap:piece102::0.50", "M. Reed, shop", "Agreed with the customer"),),
    )  # fmt: skip


def with_fabric(job: Job, fabric: str) -> Job:
    """The job whose first line is of that fabric."""
    first, *others = job.orders
    lines = (replace(first.lines[0], fabric=fabric), *first.lines[1:])
    return replace(job, orders=(replace(first, lines=lines), *others))
