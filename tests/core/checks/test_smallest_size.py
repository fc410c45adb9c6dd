"""The smallest cap height that passes: by hand on letters that are boxes, and true to the checks."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from layout_core.art.fonts import bundled_faces, forget_fonts
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.checks.art import check_artwork
from layout_core.checks.smallest_size import EXACT_SHARE, first_fault, smallest_cap_height
from layout_core.errors import Cancelled
from layout_core.geometry.pose import at_width
from layout_core.geometry.thickness import firm_limit_mm
from layout_core.progress import StopFlag
from layout_core.user_folders import config_folder
from tests.core.art.small_fonts import install, small_font
from tests.make import GLOW

BOXES = Lettering("i", font="Small Boxes", ease_mm=0.0)


@pytest.fixture(autouse=True)
def _boxes() -> Iterator[None]:
    install(config_folder().parent, small_font())
    forget_fonts()
    yield
    forget_fonts()


def test_a_stroke_of_a_seventh_of_the_cap_height_needs_seven_times_the_line_limit() -> None:
    """The i is 100 units wide where a capital is 700 tall."""
    found = smallest_cap_height(BOXES, GLOW)
    assert found is not None
    exact_mm = 7.0 * firm_limit_mm(GLOW.line_caution_mm)
    assert exact_mm <= found.cap_height_mm * (1 + 1e-3)
    assert found.cap_height_mm == pytest.approx(exact_mm, rel=2 * EXACT_SHARE)
    assert found.held_by == "line_weight"


def test_a_gap_of_a_seventh_of_the_cap_height_needs_seven_times_the_gap_limit() -> None:
    """Two H stand 100 units apart, and their strokes are 400 wide."""
    found = smallest_cap_height(replace(BOXES, text="HH"), GLOW)
    assert found is not None
    assert found.cap_height_mm == pytest.approx(7.0 * firm_limit_mm(GLOW.gap_mm), rel=2 * EXACT_SHARE)
    assert found.held_by == "gap"


def test_tracking_lets_the_words_be_smaller() -> None:
    """100 thousandths of an em more double the gap: half the size; the stroke of 400 allows less still."""
    found = smallest_cap_height(replace(BOXES, text="HH", tracking=100.0), GLOW)
    assert found is not None
    assert found.cap_height_mm == pytest.approx(3.5 * firm_limit_mm(GLOW.gap_mm), rel=2 * EXACT_SHARE)


def test_it_does_not_matter_at_what_size_the_words_are_set() -> None:
    sizes = []
    for cap_mm in (3.0, 25.4, 200.0):
        found = smallest_cap_height(replace(BOXES, text="HH", cap_height_mm=cap_mm), GLOW)
        assert found is not None
        sizes.append(found.cap_height_mm)
    assert sizes == pytest.approx([sizes[0]] * 3, rel=EXACT_SHARE)


def test_a_contour_that_is_too_thin_passes_at_no_size() -> None:
    thin = replace(BOXES, text="H", contour="outside", line_mm=0.3, gap_mm=2.0)
    assert smallest_cap_height(thin, GLOW) is None
    assert smallest_cap_height(replace(thin, line_mm=0.6), GLOW) is not None


@pytest.mark.parametrize("face", bundled_faces(), ids=lambda face: face.name)
def test_the_size_found_passes_the_checks_and_a_little_less_does_not(face: object) -> None:
    assert face in bundled_faces()
    lettering = Lettering("MOTH NIGHT", font=face.name)  # type: ignore[attr-defined]
    found = smallest_cap_height(lettering, GLOW)
    assert found is not None

    def rules(cap_mm: float) -> set[str]:
        art = lettering_artwork(replace(lettering, cap_height_mm=cap_mm))
        report = check_artwork(art, art.width_mm, GLOW)
        return {finding.rule for finding in report.findings} - {"element_area"}

    assert rules(found.cap_height_mm) == set()
    assert found.held_by in rules(found.cap_height_mm * (1 - 2 * EXACT_SHARE))
    for share in (1.1, 1.5, 2.5, 6.0):
        assert rules(found.cap_height_mm * share) == set(), share


def test_every_bundled_face_prints_at_half_an_inch_of_capitals_and_more() -> None:
    """They are offered because they suit glow printing; 0.55 in is what the condensed one needs."""
    for face in bundled_faces():
        found = smallest_cap_height(Lettering("MOTH NIGHT", font=face.name), GLOW)
        assert found is not None
        assert found.cap_height_mm < 0.6 * 25.4, face.name


def test_the_fault_is_named_by_its_rule() -> None:
    outline = lettering_artwork(replace(BOXES, text="HH")).outline
    assert first_fault(at_width(outline, 60.0), GLOW) is None
    assert first_fault(at_width(outline, 3.0), GLOW) == "gap"
    assert first_fault(at_width(outline, 0.6), GLOW) == "speck"
    bar = lettering_artwork(BOXES).outline
    assert first_fault(at_width(bar, 0.3), GLOW) == "line_weight"


def test_the_search_can_be_stopped() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        smallest_cap_height(BOXES, GLOW, flag.tick)
