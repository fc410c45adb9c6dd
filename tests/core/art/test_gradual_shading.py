"""Shading of every kind is told from flat colours, thin lines, noise and what JPEG does to them."""

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from layout_core.art.ink_words import SOFT
from layout_core.art.raster import read_picture
from layout_core.art.soft_shading import soft_share
from tests.core.art.soft_pictures import as_jpeg, picture

Bytes = NDArray[np.uint8]

FAR_APART = ((255, 255, 255), (20, 20, 20), (200, 30, 30), (30, 160, 60), (240, 220, 60))
CLOSE = ((200, 200, 200), (205, 204, 206), (210, 209, 208), (196, 197, 195), (190, 192, 191))
TWELVE = tuple((r, g, b) for r in (30, 220) for g in (20, 120, 235) for b in (40, 200))


def rgba(grey: NDArray[np.floating]) -> Bytes:
    levels = np.clip(np.rint(grey), 0, 255).astype(np.uint8)
    return np.array(Image.fromarray(levels).convert("RGBA"))


def ramp(width: int, height: int, first: float = 0.0, last: float = 255.0) -> NDArray[np.float64]:
    return np.tile(np.linspace(first, last, width), (height, 1))


def glow(side: int) -> NDArray[np.float64]:
    y, x = np.mgrid[:side, :side]
    shade: NDArray[np.float64] = np.clip(255 - 510 * np.hypot(x - side / 2, y - side / 2) / side, 0, 255)
    return shade


def rings(side: int, colours: tuple[tuple[int, int, int], ...]) -> Bytes:
    """Flat rings, smoothed at the edges as drawing programs export them."""
    image = Image.new("RGB", (2 * side, 2 * side), colours[0])
    draw = ImageDraw.Draw(image)
    for number, colour in enumerate(colours[1:], 1):
        inset = side * number // len(colours)
        draw.ellipse((inset, inset, 2 * side - inset, 2 * side - inset), fill=colour)
    return np.array(image.resize((side, side), Image.Resampling.LANCZOS).convert("RGBA"))


@pytest.mark.parametrize("side", [300, 900, 2000])
@pytest.mark.parametrize("is_turned", [False, True])
def test_gradual_shading_is_soft(side: int, is_turned: bool) -> None:
    for grey in (ramp(side, side // 2), glow(side)):
        image = rgba(grey.T if is_turned else grey)
        assert soft_share(image) > 0.6
        assert soft_share(as_jpeg(image, 50)) > 0.6


@pytest.mark.parametrize(
    ("width", "height", "first", "last"),
    [(900, 450, 100, 150), (900, 450, 100, 200), (900, 450, 100, 140), (3000, 150, 0, 255)],
)
@pytest.mark.parametrize("sigma", [0, 4])
def test_faint_long_and_noisy_ramps_are_soft(
    width: int, height: int, first: int, last: int, sigma: int
) -> None:
    noise = np.random.default_rng(5).normal(0, sigma, (height, width))
    assert soft_share(rgba(ramp(width, height, first, last) + noise)) > 0.6


@pytest.mark.parametrize("side", [300, 900, 2000])
@pytest.mark.parametrize("colours", [FAR_APART, CLOSE, TWELVE], ids=["far apart", "close", "twelve"])
def test_flat_colours_are_not(side: int, colours: tuple[tuple[int, int, int], ...]) -> None:
    image = rings(side, colours)
    for spoiled in (image, as_jpeg(image, 95), as_jpeg(image, 50), as_jpeg(image, 20)):
        assert soft_share(spoiled) < SOFT


@pytest.mark.parametrize("seed", range(9000, 9024))
def test_pictures_drawn_by_chance_are_told_right(seed: int) -> None:
    known = picture(seed)
    assert (soft_share(known.rgba) > SOFT) == known.is_soft, known.name


def test_what_is_nearly_all_see_through_is_judged_by_what_is_seen() -> None:
    art = np.zeros((400, 400, 4), dtype=np.uint8)
    art[100:140, 100:140] = (10, 200, 90, 255)
    assert soft_share(art) == 0.0
    art[200:280, 100:380, 3] = np.rint(np.linspace(255, 0, 280))
    assert soft_share(art) > 0.5


def test_a_ramp_is_told_in_words() -> None:
    stream = io.BytesIO()
    Image.fromarray(rgba(ramp(900, 450))).save(stream, "PNG")
    assert "Soft shading" in " ".join(read_picture(stream.getvalue(), "png").notes)
