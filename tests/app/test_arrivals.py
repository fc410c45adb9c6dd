"""Art that arrives gets a piece of sensible size and a place, without Qt."""

from dataclasses import replace

import pytest
import shapely

from app.arrivals import DropPoint, choose_size, with_arrivals
from layout_core.art.artwork import Artwork
from layout_core.job import edits
from layout_core.job.placements import load_placements
from layout_core.units import mm
from tests.make import make_artwork, make_job


def art(width_in: float, height_in: float, *, size_known: bool = True, name: str = "moth") -> Artwork:
    made = make_artwork(shapely.box(0, 0, mm(width_in), mm(height_in)), name)
    return replace(made, size_known=size_known)


@pytest.mark.parametrize(
    ("artwork", "placement", "width_in"),
    [
        (art(4, 4, size_known=False), "full front", 11.0),
        (art(4, 8, size_known=False), "full front", 7.0),
        (art(9, 6), "full front", 9.0),
        (art(3.75, 3), "left chest", 3.75),
        (art(3.1, 3), "sleeve", 3.1),
        (art(40, 20), "full front", 11.0),
        (art(11.25, 14), "full front", 11.25),
        (art(5, 50), "full front", 1.4),
    ],
)
def test_size_follows_what_the_art_states(artwork: Artwork, placement: str, width_in: float) -> None:
    """Presets of placements.toml: full front 11 in within 11.25 x 14 in, left chest 3.75 in, sleeve 3 in."""
    key, width_mm = choose_size(artwork, load_placements())
    assert (key, width_mm) == (placement, pytest.approx(mm(width_in)))


def test_each_art_is_a_piece_with_one_copy_apart_from_the_others() -> None:
    job = with_arrivals(
        make_job(), [art(4, 3, name="moth"), art(3, 3, name="lantern"), art(2, 2, name="crab")]
    )
    assert [piece.name for piece in job.pieces] == ["moth", "lantern", "crab"]
    assert [job.copies_placed(piece.piece_id) for piece in job.pieces] == [1, 1, 1]
    boxes = [
        shapely.box(
            p.pose.x_mm - job.size_of(job.piece(p.piece_id))[0] / 2,
            p.pose.y_mm - job.size_of(job.piece(p.piece_id))[1] / 2,
            p.pose.x_mm + job.size_of(job.piece(p.piece_id))[0] / 2,
            p.pose.y_mm + job.size_of(job.piece(p.piece_id))[1] / 2,
        )
        for p in job.sheets[0].placed
    ]
    gap = job.sheets[0].gap_mm
    assert all(a.distance(b) >= gap - 1e-6 for i, a in enumerate(boxes) for b in boxes[:i])


def test_first_lies_at_the_drop_point() -> None:
    job = with_arrivals(make_job(), [art(2, 2), art(2, 2, name="crab")], DropPoint(1, 150.0, 300.0))
    first, second = job.sheets[0].placed
    assert (first.pose.x_mm, first.pose.y_mm) == (150.0, 300.0)
    assert (second.pose.x_mm, second.pose.y_mm) != (150.0, 300.0)


def test_drop_near_the_edge_is_kept_on_the_sheet() -> None:
    job = with_arrivals(make_job(), [art(2, 2)], DropPoint(1, 0.0, 9999.0))
    pose = job.sheets[0].placed[0].pose
    assert pose.x_mm == pytest.approx(mm(1))
    assert pose.y_mm == pytest.approx(job.sheets[0].length_mm - mm(1))


def test_dropped_on_sheet_is_looked_at_first() -> None:
    job = edits.add_sheet(make_job())
    second = job.sheets[1].sheet_id
    job = with_arrivals(job, [art(2, 2), art(2, 2, name="crab")], DropPoint(second, 100, 100))
    assert [len(sheet.placed) for sheet in job.sheets] == [0, 2]


def test_piece_without_room_waits_in_the_list() -> None:
    tall = [art(11, 13, name=f"poster {n}") for n in range(2)]
    job = with_arrivals(make_job(length_mm=mm(19)), tall)
    assert [job.copies_placed(piece.piece_id) for piece in job.pieces] == [1, 0]


def test_same_art_twice_is_stored_once() -> None:
    artwork = art(2, 2)
    job = with_arrivals(with_arrivals(make_job(), [artwork]), [artwork])
    assert len(job.arts) == 1
    assert len(job.pieces) == 2
