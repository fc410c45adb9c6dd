"""What each gold picture shows, built from the tests' own small shapes."""

from collections.abc import Callable
from dataclasses import replace

import shapely

from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.pose import Pose
from layout_core.job.model import Job, Order, OrderLine, Waiver
from layout_core.outputs.proof import proof_png
from layout_core.units import mm
from tests.gold.compare import small
from tests.make import make_artwork, make_job

GOLD_WIDTH = 510


def two_order_job() -> tuple[Job, tuple[Finding, ...]]:
    """Three pieces of two orders and the shop on one sheet, with a waived, an open and a sheet finding."""
    moon = shapely.Point(40, 40).buffer(40).difference(shapely.Point(58, 34).buffer(34))
    ring = shapely.Point(30, 30).buffer(30).difference(shapely.Point(30, 30).buffer(16))
    star = shapely.union_all([shapely.box(0, 20, 60, 34), shapely.box(23, 0, 37, 54)])
    artworks = [make_artwork(moon, "moon"), make_artwork(ring, "ring"), make_artwork(star, "star")]
    poses = [(0, Pose(60, 60)), (1, Pose(160, 60)), (1, Pose(230, 60)), (2, Pose(80, 180, 30))]
    job = make_job(artworks, poses=poses, length_mm=mm(12))
    moon_piece, ring_piece, star_piece = job.pieces
    found = (
        Finding("line_weight", Severity.STOP, "Line 0.012 in wide; needs 0.02 in", 0.3, 0.508, piece_id=101),
        Finding("gap", Severity.CAUTION, "Gap 0.02 in wide; needs 0.028 in", 0.5, 0.71, piece_id=102),
        Finding(
            "spacing", Severity.CAUTION, "0.2 in apart; 0.25 in wanted", 5.1, 6.35,
            where_mm=(195.0, 60.0), sheet_id=1, placed_ids=(302, 303),
        ),
    )  # fmt: skip
    job = replace(
        job,
        name="Lamp and tide",
        pieces=(
            replace(moon_piece, name="Moon", order_id=11),
            replace(ring_piece, name="Limpet ring", placement="left chest", order_id=12, copies=2),
            replace(star_piece, name="Star", placement="nape", filler=True),
        ),
        orders=(
            Order(11, "Moth survey night", "The Lamp Keepers",
                  (OrderLine(21, 101, "tee", "navy", (("M", 4), ("L", 2))),)),
            Order(12, "Lantern walk", "Rock Pool Ramblers"),
        ),
        waivers=(Waiver(found[1].key, "M. Reed, shop", "Agreed with the customer"),),
        sheets=tuple(replace(sheet, run=6) for sheet in job.sheets),
    )  # fmt: skip
    return job, found


def _whole() -> bytes:
    return small(proof_png(*two_order_job()), GOLD_WIDTH)


def _one_order() -> bytes:
    return small(proof_png(*two_order_job(), order_id=12), GOLD_WIDTH)


SCENES: dict[str, Callable[[], bytes]] = {"proof-whole": _whole, "proof-order": _one_order}
