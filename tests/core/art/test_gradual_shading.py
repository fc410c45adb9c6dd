"""Shading so gradual that neighbours hardly differ is told from flat colours, noise and close shades."""

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from layout_core.art.ink_words import SOFT
from layout_core.art.picture_inks import _graded_share, picture_inks
from layout_core.art.raster import read_picture

FAR_APART = ((255, 255, 255), (20, 20, 20), (200, 30, 30), (30, 160, 60), (240, 220, 60))
CLOSE = ((200, 200, 200), (205, 204, 206), (210, 209, 208), (196, 197, 195), (190, 192, 191))


def soft_share(image: Image.Image) -> float:
    return picture_inks(np.array(image.convert("RGBA")), is_cut_out=False).soft_share


def ramp(side: int) -> NDArray[np.uint8]:
    return np.tile(np.linspace(0, 255, side).astype(np.uint8), (side // 2, 1))


def glow(side: int) -> NDArray[np.uint8]:
    y, x = np.mgrid[:side, :side]
    shade: NDArray[np.uint8] = np.clip(
        255 - 510 * np.hypot(x - side / 2, y - side / 2) / side, 0, 255
    ).astype(np.uint8)
    return shade


def rings(side: int, colours: tuple[tuple[int, int, int], ...]) -> Image.Image:
    """Flat rings, smoothed at the edges as drawing programs export them."""
    image = Image.new("RGB", (2 * side, 2 * side), colours[0])
    draw = ImageDraw.Draw(image)
    for number, colour in enumerate(colours[1:], 1):
        inset = side * number // len(colours)
        draw.ellipse((inset, inset, 2 * side - inset, 2 * side - inset), fill=colour)
    return image.resize((side, side), Image.Resampling.LANCZOS)


def as_jpeg(image: Image.Image, quality: int) -> Image.Image:
    stream = io.BytesIO()
    image.convert("RGB").save(stream, "JPEG", quality=quality)
    return Image.open(stream)


@pytest.mark.parametrize("side", [300, 900, 2000])
@pytest.mark.parametrize("shade", [ramp, glow], ids=["linear", "radial"])
@pytest.mark.parametrize("is_turned", [False, True])
def test_gradual_shading_is_soft(side: int, shade: object, is_turned: bool) -> None:
    assert callable(shade)
    grey = shade(side)
    image = Image.fromarray(grey.T.copy() if is_turned else grey)
    assert soft_share(image) > 0.7
    assert soft_share(as_jpeg(image, 50)) > 0.7


@pytest.mark.parametrize("side", [300, 900, 2000])
@pytest.mark.parametrize("colours", [FAR_APART, CLOSE], ids=["far apart", "close"])
def test_flat_colours_are_not(side: int, colours: tuple[tuple[int, int, int], ...]) -> None:
    """What JPEG does along the edges of small art counts as soft on its own; the drift must add nothing."""
    image = rings(side, colours)
    assert soft_share(image) < SOFT
    for quality in (95, 50, 20):
        assert _graded_share(np.array(as_jpeg(image, quality).convert("RGBA"))) < SOFT


def test_a_ramp_is_told_in_words() -> None:
    stream = io.BytesIO()
    Image.fromarray(ramp(900)).save(stream, "PNG")
    assert "Soft shading" in " ".join(read_picture(stream.getvalue(), "png").notes)
