"""Rules about copies on sheets: spacing, overlap, margin, bounds, placement box, missing copies."""

from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.run import check_job
from layout_core.geometry.pose import Pose
from layout_core.job.model import Job
from layout_core.packing.autopack import autopack
from layout_core.units import mm
from tests.core.checks.shapes import rules
from tests.make import make_artwork, make_job


def pair(apart_mm: float, *, gap_mm: float = mm(0.25)) -> Job:
    """Two 50 x 40 mm blocks side by side at that distance, in the middle of the sheet."""
    job = make_job([make_artwork()], poses=[(0, Pose(80, 100)), (0, Pose(130 + apart_mm, 100))], copies=2)
    return replace(job, sheets=(replace(job.sheets[0], gap_mm=gap_mm),))


def only(job: Job) -> Finding:
    (finding,) = check_job(job)
    return finding


@pytest.mark.parametrize(
    ("apart_mm", "expected"),
    [
        (mm(0.25), []),
        (mm(0.249), [("spacing", "caution")]),
        (mm(0.125), [("spacing", "caution")]),
        (mm(0.124), [("spacing", "stop")]),
        (0.0, [("spacing", "stop")]),
        (-0.5, [("overlap", "stop")]),
    ],
)
def test_spacing_is_a_caution_below_the_gap_and_a_stop_below_the_least(
    apart_mm: float, expected: list[tuple[str, str]]
) -> None:
    assert rules(check_job(pair(apart_mm))) == expected


def test_the_least_piece_gap_holds_on_a_sheet_with_a_smaller_gap() -> None:
    finding = only(pair(mm(0.1), gap_mm=mm(0.05)))
    assert (finding.severity, finding.limit) == (Severity.STOP, mm(0.125))


def test_spacing_says_which_two_how_far_and_where() -> None:
    finding = only(pair(mm(0.2)))
    assert finding.message == "“block” and “block” are 0.2 in apart; the sheet's gap is 0.25 in"
    assert finding.measured == pytest.approx(mm(0.2))
    assert (finding.limit, finding.unit, finding.sheet_id) == (mm(0.25), "mm", 1)
    assert finding.placed_ids == (301, 302)
    assert finding.where_mm is not None
    assert finding.where_mm[0] == pytest.approx(105 + mm(0.1))
    assert isinstance(finding.highlight, shapely.LineString)


def test_overlap_lies_where_both_are() -> None:
    finding = only(pair(-10.0))
    assert finding.measured == pytest.approx(400.0)
    assert finding.where_mm is not None
    assert 95 < finding.where_mm[0] < 105


def test_a_piece_inside_a_ring_is_measured_to_the_ring_and_not_to_its_box() -> None:
    wreath = make_artwork(
        shapely.Point(0, 0).buffer(80, 64).difference(shapely.Point(0, 0).buffer(60, 64)), "wreath"
    )
    job = make_job([wreath, make_artwork()], poses=[(0, Pose(120, 120)), (1, Pose(120, 120))])
    assert check_job(job) == ()


@pytest.mark.parametrize(
    ("pose", "expected"),
    [
        (Pose(25, 20), [("margin", "caution")]),
        (Pose(31.35, 26.35), []),
        (Pose(31.34, 60), [("margin", "caution")]),
        (Pose(24.5, 60), [("sheet_bounds", "stop")]),
        (Pose(mm(11.25) - 24.9, 60), [("sheet_bounds", "stop")]),
        (Pose(100, mm(19) - 20), [("margin", "caution")]),
        (Pose(100, mm(19) + 60), [("sheet_bounds", "stop")]),
    ],
)
def test_off_the_sheet_is_a_stop_and_in_the_margin_a_caution(
    pose: Pose, expected: list[tuple[str, str]]
) -> None:
    job = make_job([make_artwork()], poses=[(0, pose)])
    job = replace(job, sheets=(replace(job.sheets[0], margin_mm=6.35),))
    assert rules(check_job(job)) == expected


def test_a_full_width_piece_is_no_fault_on_a_sheet_without_margin() -> None:
    artwork = make_artwork(shapely.box(0, 0, mm(11.25), mm(9)))
    assert check_job(make_job([artwork], poses=[(0, Pose(mm(11.25) / 2, mm(5)))])) == ()


def test_sheet_bounds_says_how_far_over_which_edge() -> None:
    finding = only(make_job([make_artwork()], poses=[(0, Pose(25 - mm(0.25), 60))]))
    assert finding.message == "“block” sticks out 0.25 in over the left edge of the sheet"
    assert finding.measured == pytest.approx(mm(0.25))
    assert finding.where_mm is not None
    assert finding.where_mm[0] < 0


def test_bounds_follow_the_true_outline_of_a_turned_piece() -> None:
    diamond = make_artwork(shapely.Point(0, 0).buffer(30, 1), "diamond")
    middle = Pose(30 * 2**-0.5 + 0.01, 60, 45.0)
    assert check_job(make_job([diamond], poses=[(0, middle)])) == ()


def test_missing_copies_are_a_caution_that_counts_all_sheets() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(60, 60))], copies=3)
    finding = only(job)
    assert (finding.rule, finding.severity, finding.piece_id) == ("copies", Severity.CAUTION, 101)
    assert (finding.measured, finding.limit, finding.unit) == (1.0, 3.0, "copies")
    assert finding.message == "1 of 3 copies lie on the sheets; 2 to lay"


def test_a_filler_is_never_missing() -> None:
    job = make_job([make_artwork()], copies=3)
    assert check_job(replace(job, pieces=(replace(job.pieces[0], filler=True),))) == ()


def test_a_piece_larger_than_its_placement_takes_is_a_caution() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, mm(5), mm(4)))], poses=[(0, Pose(100, 100))])
    job = replace(job, pieces=(replace(job.pieces[0], placement="left chest"),))
    finding = only(job)
    assert (finding.rule, finding.severity, finding.piece_id) == ("placement_size", Severity.CAUTION, 101)
    assert finding.message == "5 in wide; the left chest takes at most 4.5 in x 4.5 in"
    assert (finding.measured, finding.limit) == (mm(5), mm(4.5))


def test_a_placement_the_table_has_lost_is_not_judged() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(100, 100))])
    assert check_job(replace(job, pieces=(replace(job.pieces[0], placement="umbrella"),))) == ()


@settings(max_examples=15)
@given(copies=st.integers(1, 30), margin_mm=st.sampled_from([0.0, 6.35]))
def test_what_autopack_lays_has_no_finding_of_the_sheet(copies: int, margin_mm: float) -> None:
    moon = shapely.Point(0, 0).buffer(30).difference(shapely.Point(15, 0).buffer(27))
    job = make_job([make_artwork(), make_artwork(moon, "moon")], copies=copies)
    job = autopack(replace(job, sheets=(replace(job.sheets[0], margin_mm=margin_mm),))).job
    assert not [finding for finding in check_job(job) if finding.sheet_id is not None]
