"""Colours, brightness and blur of the three views."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.glow.appearance import (
    blur_sigma_mm,
    carrier_look,
    dark_colour,
    dark_look,
    display_value,
    garment_look,
)
from layout_core.glow.cloth import cloth, is_light, reflectance
from layout_core.glow.colour import hex_of, lab_of_rgb, luminance_of, rgb_of, rgb_of_lab
from layout_core.glow.elements import measured_elements
from tests.core.glow.scenes import BLACKOUT, outline, scene
from tests.core.glow.test_bands import scattered


@pytest.mark.parametrize(
    ("luminance", "rgb"), [(0.4, (122, 224, 174)), (0.03, (161, 216, 189)), (0.003, (184, 210, 199))]
)
def test_green_fades_to_grey_as_the_print_dims(luminance: float, rgb: tuple[int, int, int]) -> None:
    """Display value 0.8; worked out from the mixing rule with another implementation, to two bytes."""
    assert dark_colour(luminance, 0.8) == pytest.approx(rgb, abs=2)


@given(st.floats(1e-5, 10.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_higher_display_value_is_never_darker(luminance: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert luminance_of(dark_colour(luminance, low)) <= luminance_of(dark_colour(luminance, high)) + 1e-9


def test_what_is_below_the_threshold_is_black() -> None:
    assert display_value([0.0, 0.5, 1.0]).tolist() == [0.0, 0.0, 0.0]
    assert display_value([10.0**2.25, 10.0**4.5, 1e9]).tolist() == pytest.approx([0.5, 1.0, 1.0])
    assert dark_colour(0.01, 0.0) == (0, 0, 0)


def test_blur_is_three_quarters_of_what_the_eye_resolves() -> None:
    """10 arcmin from 3 m are 8.727 mm, worked by hand."""
    assert blur_sigma_mm(10.0, 3.0) == pytest.approx(0.75 * 8.727, rel=1e-3)
    look = dark_look(measured_elements(outline(scattered(4))), scene(BLACKOUT), 20.0, 3.0)
    assert look.sigma_mm == pytest.approx(0.75 * look.resolved_mm)
    assert len(look.rgb) == len(look.value) == 4


@given(st.floats(0.3, 20.0), st.floats(1.0, 5.0))
def test_nearer_is_never_darker_nor_more_blurred(distance: float, times: float) -> None:
    elements, here = measured_elements(scattered(6)), scene(BLACKOUT)
    near, far = (dark_look(elements, here, 20.0, d) for d in (distance, distance * times))
    assert near.sigma_mm <= far.sigma_mm
    if times > 1.0 and (near.resolved_mm < 1.0 < far.resolved_mm):
        return  # on the way neighbours merge, and a patch may outshine its parts
    assert near.value.sum() >= far.value.sum() - 0.5


@pytest.mark.parametrize("distance", [0.0, -1.0, float("nan")])
def test_a_look_from_nowhere_is_refused(distance: float) -> None:
    with pytest.raises(ValueError, match="distance_m must be above 0"):
        dark_look(measured_elements(scattered(2)), scene(), 20.0, distance)


def test_the_pale_ink_stands_out_on_dark_cloth_by_day_and_not_on_light() -> None:
    """WCAG asks 3:1; computed for cloth of these names: black 11 to 14, white below 1.3."""
    assert garment_look("black").contrast > 10.0
    assert garment_look("white").contrast < 1.3
    assert garment_look("black").difference > 3 * garment_look("white").difference
    assert carrier_look().contrast > 2.0


def test_cloth_is_known_by_word_or_by_number() -> None:
    assert cloth("  Royal  Blue ") == cloth("royal")
    assert cloth("#AbCdEf") == "#abcdef"
    assert cloth("#zzzzzz") == cloth("octarine")
    assert (is_light(cloth("white")), is_light(cloth("black"))) == (True, False)
    assert (reflectance(cloth("black")), reflectance(cloth("white"))) == (0.04, 0.8)


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_a_colour_goes_to_lab_and_back(rgb: tuple[int, int, int]) -> None:
    assert rgb_of_lab(lab_of_rgb(rgb)) == pytest.approx(rgb, abs=1)
    assert rgb_of(hex_of(rgb)) == rgb
