"""The dark look as pixels: nothing below the least grey, light kept by the blur, room round the piece."""

from dataclasses import replace

import numpy as np
import pytest

from layout_core.glow.appearance import DarkLook, dark_colour
from layout_core.glow.colour import decoded
from layout_core.glow.picture import Plate, dark_picture


def plate(side: int = 40, px_per_mm: float = 4.0) -> Plate:
    """A square of ink, its left half one element and its right half another."""
    element = np.zeros((side, side), dtype=np.intp)
    element[:, side // 2 :] = 1
    return Plate(np.ones((side, side), dtype=np.float32), element, px_per_mm)


def look(left: float, right: float, sigma_mm: float = 0.0, luminance: float = 0.01) -> DarkLook:
    """Both elements at these display values."""
    colours = (dark_colour(luminance, left), dark_colour(luminance, right))
    return DarkLook(20.0, 3.0, luminance, np.array([left, right]), colours, sigma_mm, sigma_mm / 0.75)


def light(picture_rgbx: np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]) -> float:
    """The green light of all pixels, in linear units."""
    bytes_of, counts = np.unique(picture_rgbx[..., 1], return_counts=True)
    return float(sum(decoded(int(byte)) * count for byte, count in zip(bytes_of, counts, strict=True)))


def test_what_is_not_seen_has_no_picture() -> None:
    assert dark_picture(plate(), look(0.0, 0.0)) is None


@pytest.mark.parametrize("value", [1e-6, 1e-4, 0.001, 0.01, 0.05])
def test_a_print_at_the_threshold_is_drawn_or_left_black_and_never_breaks(value: float) -> None:
    drawn = dark_picture(plate(), look(0.0, value, sigma_mm=2.0))
    if dark_colour(0.01, value) == (0, 0, 0):
        assert drawn is None
    else:
        assert drawn is not None
        assert drawn.rgbx[..., 1].max() > 0


def test_unblurred_ink_has_the_colour_of_its_element_and_the_rest_is_black() -> None:
    drawn = dark_picture(plate(), look(0.4, 0.8))
    assert drawn is not None
    room, colours = drawn.room_px, look(0.4, 0.8).rgb
    inside = drawn.rgbx[room:-room, room:-room]
    assert inside.shape[:2] == (40, 40)
    assert inside[20, 5, 1] == pytest.approx(colours[0][1], abs=2)
    assert tuple(inside[20, 35, :3]) == pytest.approx(colours[1], abs=2)
    assert not drawn.rgbx[:room, :, :3].any()


@pytest.mark.parametrize("sigma_mm", [0.5, 2.0, 8.0])
def test_a_blur_spreads_light_and_makes_none(sigma_mm: float) -> None:
    """Light is blurred before it is encoded: the sum of linear light stays, but for what bytes round off."""
    sharp, soft = (dark_picture(plate(), look(0.8, 0.8, sigma)) for sigma in (0.0, sigma_mm))
    assert sharp is not None
    assert soft is not None
    shrunk = (sharp.px_per_mm / soft.px_per_mm) ** 2
    assert light(soft.rgbx) * shrunk == pytest.approx(light(sharp.rgbx), rel=0.05)
    assert soft.rgbx[..., 1].max() <= sharp.rgbx[..., 1].max()
    assert soft.room_px / soft.px_per_mm >= 3.0 * sigma_mm


def test_a_wide_blur_is_drawn_in_coarser_pixels() -> None:
    coarse, fine = (dark_picture(plate(), look(0.8, 0.8, sigma)) for sigma in (8.0, 0.5))
    assert coarse is not None
    assert fine is not None
    assert coarse.px_per_mm < fine.px_per_mm == 4.0


def test_half_covered_pixels_give_half_the_light() -> None:
    whole = plate()
    drawn, half = (
        dark_picture(some, look(0.8, 0.8))
        for some in (whole, replace(whole, coverage=whole.coverage * np.float32(0.5)))
    )
    assert drawn is not None
    assert half is not None
    assert light(half.rgbx) == pytest.approx(light(drawn.rgbx) / 2, rel=0.02)
