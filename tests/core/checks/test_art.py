"""Each rule about art by itself: what is told, how grave, with which figures and words.

The limits are those of glow ink: common practice, no source.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout_core.checks.art import check_artwork
from layout_core.checks.element_area import element_areas_mm2, ink_area_mm2
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.report import ArtReport
from layout_core.geometry.outline import valid_union
from layout_core.units import mm
from tests.core.checks.shapes import (
    dumbbell,
    rules,
    with_dots,
    with_holes,
    with_notches,
    with_slot,
    with_whisker,
)
from tests.make import GLOW, make_artwork


def report_of(shape: shapely.geometry.base.BaseGeometry, scale: float = 1.0) -> ArtReport:
    artwork = make_artwork(shape)
    return check_artwork(artwork, artwork.width_mm * scale, GLOW)


def only(report: ArtReport) -> Finding:
    (finding,) = report.findings
    return finding


def test_bold_art_has_nothing_to_find() -> None:
    report = report_of(shapely.box(0, 0, 50, 40))
    assert report.findings == ()
    assert (report.line_weight_mm, report.gap_mm, report.resolution_dpi) == (None, None, None)
    assert (report.size_mm, report.elements) == ((50.0, 40.0), 1)
    assert report.ink_area_mm2 == report.smallest_element_mm2 == pytest.approx(2000.0)


@pytest.mark.parametrize(
    ("width_in", "expected"),
    [
        (0.012, [("line_weight", "stop")]),
        (0.0173, [("line_weight", "stop")]),
        (0.0185, [("line_weight", "caution")]),
        (0.0193, [("line_weight", "caution")]),
        (0.0197, []),
        (0.0205, []),
    ],
)
def test_line_is_a_stop_below_018_and_a_caution_below_020(
    width_in: float, expected: list[tuple[str, str]]
) -> None:
    assert rules(report_of(with_whisker(width_in)).findings) == expected


@pytest.mark.parametrize("width_in", [0.024, 0.041, 0.060, 0.090])
def test_a_line_that_prints_well_still_has_its_width_in_the_report(width_in: float) -> None:
    report = report_of(with_whisker(width_in))
    assert report.findings == ()
    assert report.line_weight_mm == pytest.approx(mm(width_in), abs=mm(0.001))


def test_line_finding_says_how_wide_how_long_and_what_it_needs() -> None:
    report = report_of(with_whisker(0.012))
    finding = only(report)
    assert finding.message == "Line 0.012 in wide for 0.405 in; needs 0.02 in"
    assert finding.measured == pytest.approx(mm(0.012), abs=mm(0.0005))
    assert (finding.limit, finding.unit) == (GLOW.line_caution_mm, "mm")
    assert report.line_weight_mm == pytest.approx(mm(0.012), abs=mm(0.001))
    assert finding.where_mm is not None
    assert mm(2) < finding.where_mm[0] < mm(2.4)
    assert finding.highlight is not None
    assert finding.highlight.distance(shapely.Point(finding.where_mm)) < 1e-9


def test_a_line_that_thins_below_the_stop_is_told_once() -> None:
    tail = [(1.9, 0.49025), (1.9, 0.50975), (2.6, 0.506), (2.6, 0.494)]
    shape = shapely.box(0, 0, mm(2), mm(1)).union(shapely.Polygon([(mm(x), mm(y)) for x, y in tail]))
    assert rules(report_of(shape).findings) == [("line_weight", "stop")]


def test_short_neck_is_a_caution() -> None:
    assert rules(report_of(with_notches(0.010)).findings) == [("neck", "caution")]


def test_long_neck_is_a_line() -> None:
    assert rules(report_of(dumbbell(0.010, 0.2)).findings) == [("line_weight", "stop")]


@pytest.mark.parametrize(
    ("width_in", "expected"),
    [
        (0.009, [("gap", "stop")]),
        (0.010, [("gap", "caution")]),
        (0.020, [("gap", "caution")]),
        (0.0277, []),
        (0.030, []),
    ],
)
def test_gap_is_a_caution_below_its_limit_and_a_stop_below_a_third(
    width_in: float, expected: list[tuple[str, str]]
) -> None:
    assert rules(report_of(with_slot(width_in)).findings) == expected


@pytest.mark.parametrize("angle_deg", [5, 10, 15, 20, 25])
def test_a_notch_that_runs_to_a_point_is_no_stop(angle_deg: float) -> None:
    depth_mm = mm(0.5)
    half_mm = depth_mm * math.tan(math.radians(angle_deg / 2.0))
    notch = shapely.Polygon([(25 - half_mm, 0), (25 + half_mm, 0), (25, depth_mm)])
    found = report_of(shapely.box(0, 0, 50, 30).difference(notch)).findings
    assert rules(found) == [("gap", "caution")]


def test_gap_finding_says_how_wide_and_that_it_fills_in() -> None:
    report = report_of(with_slot(0.020))
    assert only(report).message == "Gap 0.02 in wide for 0.509 in; fills in below 0.028 in"
    assert report.gap_mm == pytest.approx(mm(0.020), abs=mm(0.001))


def test_edges_that_come_close_for_a_moment_are_a_bridge() -> None:
    near = shapely.union_all([shapely.Point(0, 0).buffer(10, 64), shapely.Point(20.3, 0).buffer(10, 64)])
    found = report_of(near).findings
    assert {finding.rule for finding in found} <= {"bridge", "gap"}
    small = shapely.union_all([shapely.box(0, 0, 20, 20), shapely.box(20.4, 19.9, 40, 40)])
    assert rules(report_of(small).findings) == [("bridge", "caution")]


@pytest.mark.parametrize(
    ("diameter_in", "found"), [(0.020, True), (0.029, True), (0.031, False), (0.06, False)]
)
def test_dot_below_030_is_a_speck(diameter_in: float, found: bool) -> None:
    told = [finding for finding in report_of(with_dots(diameter_in)).findings if finding.rule == "speck"]
    assert [finding.severity for finding in told] == [Severity.CAUTION] * found
    if told:
        assert told[0].message == f"Speck {diameter_in:g} in across; needs 0.03 in"


@pytest.mark.parametrize(("diameter_in", "found"), [(0.030, True), (0.034, True), (0.036, False)])
def test_hole_below_035_is_a_pinhole(diameter_in: float, found: bool) -> None:
    report = report_of(with_holes(diameter_in))
    assert rules(report.findings) == [("pinhole", "caution")] * found


def test_a_hairline_is_a_line_and_no_speck() -> None:
    shape = shapely.union_all([shapely.box(0, 0, 50, 40), shapely.box(60, 0, 60.25, 1.4)])
    assert "speck" not in {finding.rule for finding in report_of(shape).findings}
    assert "line_weight" in {finding.rule for finding in report_of(shape).findings}


def test_the_twelve_worst_places_are_told_and_the_rest_counted() -> None:
    found = [f for f in report_of(with_holes(0.030, count=17)).findings if f.rule == "pinhole"]
    assert len(found) == 13
    assert found[-1].message == "5 more holes that fill in"
    assert (found[-1].where_mm, found[-1].measured) == (None, None)


def test_small_elements_beside_larger_ink_are_one_note() -> None:
    finding = next(f for f in report_of(with_dots(0.1, count=3)).findings if f.rule == "element_area")
    assert (finding.severity, finding.unit, finding.limit) == (Severity.NOTE, "mm2", GLOW.element_mm2)
    assert finding.measured == pytest.approx(5.06, abs=0.02)
    assert "3 of 4 elements" in finding.message


def test_art_of_nothing_but_small_elements_is_a_caution() -> None:
    finding = only(report_of(shapely.box(0, 0, 3, 3)))
    assert (finding.rule, finding.severity) == ("element_area", Severity.CAUTION)
    assert finding.message == (
        "The only element is hardly seen in the dark: the smallest has 0.0140 sq in of ink, "
        "0.0155 still counts"
    )


def test_ink_area_counts_each_element_without_its_holes() -> None:
    outline = make_artwork(shapely.union_all([shapely.box(0, 0, 20, 20), shapely.box(30, 0, 40, 10)])).outline
    holed = valid_union(outline.difference(shapely.box(5, 5, 10, 10)))
    assert sorted(element_areas_mm2(holed)) == [100.0, 375.0]
    assert ink_area_mm2(holed) == 475.0


@pytest.mark.parametrize(
    ("ink_px", "expected"), [(299, [("resolution", "stop")]), (301, [("resolution", "caution")]), (600, [])]
)
def test_resolution_is_a_stop_below_150_and_a_caution_below_300(
    ink_px: float, expected: list[tuple[str, str]]
) -> None:
    picture = replace(make_artwork(), route="raster", ink_width_px=ink_px)
    report = check_artwork(picture, mm(2), GLOW)
    assert rules(report.findings) == expected
    assert report.resolution_dpi == pytest.approx(ink_px / 2)


def test_a_file_without_a_size_gets_a_note() -> None:
    finding = only(check_artwork(replace(make_artwork(), size_known=False), mm(4), GLOW))
    assert (finding.rule, finding.severity) == ("size_unknown", Severity.NOTE)
    assert "4 in wide" in finding.message


def test_the_same_art_larger_loses_its_faults() -> None:
    assert report_of(with_whisker(0.012)).findings
    assert report_of(with_whisker(0.012), scale=2.0).findings == ()


@given(turn_deg=st.integers(0, 359), width_in=st.sampled_from([0.012, 0.0186, 0.025]))
def test_line_findings_do_not_depend_on_the_turn(turn_deg: int, width_in: float) -> None:
    shape = with_whisker(width_in)
    plain, turned = report_of(shape), report_of(shapely.affinity.rotate(shape, turn_deg))
    assert rules(turned.findings) == rules(plain.findings)
    if plain.line_weight_mm is not None:
        assert turned.line_weight_mm == pytest.approx(plain.line_weight_mm, abs=mm(0.001))
