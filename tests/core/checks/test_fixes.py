"""Every finding that a change of shape can mend names the repair, and the repair ends it."""

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.art.repair import repaired, width_after_mm
from layout_core.checks.fixes import fixes_for, offered_fixes
from layout_core.checks.run import check_artwork
from layout_core.geometry.thickness import firm_limit_mm
from tests.make import GLOW, make_artwork

BLOCK = shapely.box(0, 0, 40, 30)
HAIR = shapely.union(BLOCK, shapely.box(0, 40, 40, 40.3))
SPLIT = shapely.union(shapely.box(0, 0, 20, 20), shapely.box(20.3, 0, 40, 20))
DOT = shapely.union(BLOCK, shapely.box(50, 5, 50.4, 5.4))
HOLED = BLOCK.difference(shapely.box(15, 15, 15.4, 15.4))
RING = shapely.Point(20, 20).buffer(20).difference(shapely.Point(20, 20).buffer(19.7))


@pytest.mark.parametrize(
    ("rule", "shape", "texts"),
    [
        ("line_weight", HAIR, ["Thicken to 0.020 in"]),
        ("line_weight", RING, ["Thicken to 0.020 in", "Make solid"]),
        ("gap", SPLIT, ["Open to 0.028 in", "Fill the narrow gaps"]),
        ("speck", DOT, ["Drop 1 speck"]),
        ("pinhole", HOLED, ["Fill 1 pinhole"]),
    ],
)
def test_a_finding_names_its_repairs_and_each_ends_it(
    rule: str, shape: BaseGeometry, texts: list[str]
) -> None:
    artwork = make_artwork(shape)
    report = check_artwork(artwork, artwork.width_mm, GLOW)
    finding = next(found for found in report.findings if found.rule == rule)
    fixes = fixes_for(finding, artwork, report, GLOW)
    assert [fix.text.replace("0.02 in", "0.020 in") for fix in fixes] == texts
    for fix in fixes:
        done = repaired(artwork, [fix.repair])
        left = check_artwork(done, done.width_mm, GLOW).findings
        assert rule not in [found.rule for found in left], fix.text


def test_a_repair_that_widens_the_art_a_little_leaves_nothing_just_below_the_limit() -> None:
    """The hairline at the edge grows the art by half a percent, and the piece keeps its width."""
    firm_mm = firm_limit_mm(GLOW.line_caution_mm)
    bar = shapely.box(0, 0, 30, firm_mm * 1.003)
    artwork = make_artwork(shapely.union_all([bar, shapely.box(0, 5, 20, 20), shapely.box(39.9, 0, 40, 20)]))
    report = check_artwork(artwork, artwork.width_mm, GLOW)
    assert [found.rule for found in report.findings].count("line_weight") == 1
    (fix,) = fixes_for(report.findings[0], artwork, report, GLOW)
    done = repaired(artwork, [fix.repair])
    width_mm = width_after_mm(artwork, done, artwork.width_mm)
    assert width_mm == artwork.width_mm < done.width_mm
    assert check_artwork(done, width_mm, GLOW).findings == ()


_CROOK = """1.111 .969 1.16 .893 1.179 .808 1.172 .774 1.175 .765 1.176 .698 1.159 .632 1.144 .593 .907 0
.349 0 .678 .824 .685 .837 0 .613 0 1.142 .186 1.206 1.451 1.605 1.8 1.708 1.8 1.175"""


def test_a_waist_that_shows_at_the_limit_of_the_check_and_not_just_above_it_is_thickened() -> None:
    """Two strokes of the fern meet end to side; between their blunt corners the ink is 0.45 mm wide."""
    numbers = [float(word) for word in _CROOK.split()]
    artwork = make_artwork(shapely.Polygon(list(zip(numbers[::2], numbers[1::2], strict=True))))
    report = check_artwork(artwork, artwork.width_mm, GLOW)
    neck = next(found for found in report.findings if found.rule == "neck")
    (fix,) = fixes_for(neck, artwork, report, GLOW)
    done = repaired(artwork, [fix.repair])
    assert done.notes[-1:] == ("Thickened 1 thin place to 0.02 in",)
    left = check_artwork(done, width_after_mm(artwork, done, artwork.width_mm), GLOW).findings
    assert "neck" not in [found.rule for found in left]


def test_what_no_change_of_shape_can_mend_has_no_fix() -> None:
    artwork = make_artwork(shapely.union(BLOCK, shapely.box(50, 5, 51, 6)))
    report = check_artwork(artwork, artwork.width_mm, GLOW)
    small = next(found for found in report.findings if found.rule == "element_area")
    assert fixes_for(small, artwork, report, GLOW) == ()


def test_without_a_finding_every_repair_that_may_do_something_is_offered() -> None:
    kinds = [fix.repair.kind for fix in offered_fixes(make_artwork(BLOCK), 40.0, GLOW)]
    assert kinds == ["outline", "thin", "thicken", "open", "close"]
    kinds = [fix.repair.kind for fix in offered_fixes(make_artwork(HOLED), 40.0, GLOW)]
    assert kinds[:2] == ["pinholes", "solid"]
    kinds = [fix.repair.kind for fix in offered_fixes(make_artwork(DOT), 50.4, GLOW)]
    assert kinds[0] == "specks"
