"""How well a sheet is used."""

from dataclasses import replace

import pytest
import shapely

from layout_core.geometry.pose import Pose
from layout_core.packing.sheet_use import SheetUse, sheet_use
from tests.core.packing.menus import ring
from tests.make import make_artwork, make_job


def test_an_empty_sheet_is_not_used() -> None:
    job = make_job()
    assert sheet_use(job, job.sheets[0]) == SheetUse(0.0, 0.0, None)


def test_ink_counts_true_outlines_and_boxes_their_bounds() -> None:
    plus = shapely.union_all([shapely.box(10, 0, 20, 30), shapely.box(0, 10, 30, 20)])
    job = make_job([make_artwork(plus, "plus")], poses=[(0, Pose(30, 30)), (0, Pose(80, 30))])
    job = replace(job, sheets=(replace(job.sheets[0], width_mm=100, length_mm=100),))
    use = sheet_use(job, job.sheets[0])
    assert use.ink_fraction == pytest.approx(0.10)
    assert use.box_fraction == pytest.approx(0.18)
    assert use.smallest_gap_mm == pytest.approx(20.0)


def test_overlaps_and_what_lies_off_the_sheet_are_not_counted_twice() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(0, 20)), (0, Pose(0, 20))])
    job = replace(job, sheets=(replace(job.sheets[0], width_mm=100, length_mm=100),))
    use = sheet_use(job, job.sheets[0])
    assert use.ink_fraction == pytest.approx(0.1)
    assert use.box_fraction == pytest.approx(0.1)
    assert use.smallest_gap_mm == 0.0


def test_the_smallest_gap_is_that_of_true_outlines() -> None:
    job = make_job(
        [make_artwork(ring(60, 50)), make_artwork()], poses=[(0, Pose(100, 100)), (1, Pose(100, 100))]
    )
    gap = sheet_use(job, job.sheets[0]).smallest_gap_mm
    assert gap == pytest.approx(50 - (25**2 + 20**2) ** 0.5, abs=0.05)
