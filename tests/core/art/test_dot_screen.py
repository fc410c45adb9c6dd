"""Dot screens are told from dots of one or two sizes, star fields and writing."""

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from shapely import MultiPolygon, Point, Polygon

from layout_core.art.dot_screen import dot_screen_count
from layout_core.art.raster import read_picture
from layout_core.art.svg_route import read_svg

Numbers = NDArray[np.float64]
PITCH = 4.0


def grid(count: int, turn_deg: float = 45.0) -> Numbers:
    """Middles of count x count dots, turned as screens are."""
    rows, columns = np.mgrid[:count, :count]
    angle = np.radians(turn_deg)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middles: Numbers = PITCH * np.column_stack((columns.ravel(), rows.ravel())) @ turn.T
    return middles


def discs(middles: Numbers, radii: Numbers | float) -> MultiPolygon:
    sizes = np.broadcast_to(radii, len(middles)).tolist()
    return MultiPolygon([Point(*at).buffer(size) for at, size in zip(middles, sizes, strict=True)])


def shaded(middles: Numbers) -> Numbers:
    along = middles[:, 0] - middles[:, 0].min()
    radii: Numbers = 0.6 + 1.2 * along / along.max()
    return radii


@pytest.mark.parametrize("turn_deg", [0.0, 15.0, 45.0])
def test_dots_of_varying_size_at_a_regular_pitch_are_a_screen(turn_deg: float) -> None:
    middles = grid(24, turn_deg)
    assert dot_screen_count(discs(middles, shaded(middles))) == 24 * 24


@pytest.mark.parametrize("radii", [1.0, np.tile([0.8, 1.6], 288)], ids=["one size", "two sizes"])
def test_dotted_patterns_are_not(radii: Numbers | float) -> None:
    assert dot_screen_count(discs(grid(24), radii)) == 0


def test_a_star_field_is_not() -> None:
    chance = np.random.default_rng(3)
    middles = chance.uniform(0, 200, (400, 2))
    spaced = middles[[i for i in range(400) if (np.hypot(*(middles[:i] - middles[i]).T) > 4).all()]]
    assert len(spaced) > 150
    assert dot_screen_count(discs(spaced, chance.uniform(0.5, 1.8, len(spaced)))) == 0


def test_writing_of_even_pitch_is_not() -> None:
    letter = np.array([(0, 0), (2, 0), (2, 0.5), (0.5, 0.5), (0.5, 2), (0, 2)])
    middles = grid(20, 0.0)
    sizes = (shaded(middles) / 2).tolist()
    letters = [Polygon(at + size * letter) for at, size in zip(middles, sizes, strict=True)]
    assert dot_screen_count(MultiPolygon(letters)) == 0


def test_few_dots_are_not() -> None:
    middles = grid(9)
    assert dot_screen_count(discs(middles, shaded(middles))) == 0


def test_drawings_and_pictures_tell_it_in_words() -> None:
    middles = grid(24, 0.0) + PITCH
    circles = "".join(
        f'<circle cx="{x}" cy="{y}" r="{r}"/>' for (x, y), r in zip(middles, shaded(middles), strict=True)
    )
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="104" height="104">{circles}</svg>'
    assert "dot screen" in " ".join(read_svg(drawing.encode()).notes)
    y, x = np.mgrid[:960, :960]
    radius = 5 + 12 * x / 960
    inked = np.hypot(x % 40 - 20, y % 40 - 20) < radius
    stream = io.BytesIO()
    Image.fromarray(np.where(inked, 0, 255).astype(np.uint8)).save(stream, "PNG")
    assert "dot screen" in " ".join(read_picture(stream.getvalue(), "png").notes)
