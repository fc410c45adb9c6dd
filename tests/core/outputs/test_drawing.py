"""Drawings as SVG and PNG: well formed, repeatable, true to size, with no font of the machine's."""

import io

import numpy as np
import pytest
import shapely
from lxml import etree
from PIL import Image

from layout_core.outputs.drawing import Area, Box, Drawing, Group, Part, Words, every_words, line, moved
from layout_core.outputs.drawing_png import to_png
from layout_core.outputs.drawing_svg import to_svg

SVG = "{http://www.w3.org/2000/svg}"
RING = shapely.Point(20, 20).buffer(20).difference(shapely.Point(20, 20).buffer(10))


def picture(*parts: Part, unit: str = "px") -> Drawing:
    return Drawing(100, 80, parts, "mm" if unit == "mm" else "px", title='A & B <"C">')


def pixels(drawing: Drawing, dpi: float = 96.0) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(to_png(drawing, dpi))).convert("RGB"))


def test_svg_is_well_formed_whatever_the_words() -> None:
    root = etree.fromstring(to_svg(picture(Words(5, 20, 'x < y & "z"', 10, "#000000", 90))).encode())
    assert root.findtext(f"{SVG}title") == 'A & B <"C">'
    assert root.findtext(f"{SVG}text") == 'x < y & "z"'


def test_a_shape_used_twice_is_written_once() -> None:
    svg = to_svg(picture(Area(RING, "#111111"), Area(RING, "#222222", (0.5, 0, 0, 0.5, 50, 0))))
    root = etree.fromstring(svg.encode())
    assert len(root.findall(f"{SVG}defs/{SVG}path")) == 1
    assert len(root.findall(f"{SVG}use")) == 2


def test_area_covers_its_ground_and_leaves_its_holes() -> None:
    drawn = pixels(picture(Area(RING, "#000000", (2, 0, 0, 2, 0, 0))))
    ink = (255 - drawn[:, :, 0].astype(float)).sum() / 255
    assert ink == pytest.approx(RING.area * 4, rel=0.01)


def test_matrix_turns_as_poses_do() -> None:
    """(a, b, d, e, x, y): a quarter turn clockwise sends (x, y) to (-y, x)."""
    bar = shapely.box(0, 0, 40, 4)
    drawn = pixels(picture(Area(bar, "#000000", (0, -1, 1, 0, 50, 10))))
    rows, columns = np.nonzero(drawn[:, :, 0] < 128)
    assert (columns.min(), columns.max(), rows.min(), rows.max()) == (46, 49, 10, 49)


def test_groups_nest() -> None:
    inner = moved((Box(0, 0, 10, 10, "#000000"),), 5, 5)
    drawn = pixels(picture(moved((inner,), 20, 30)))
    rows, columns = np.nonzero(drawn[:, :, 0] < 128)
    assert (columns.min(), rows.min(), columns.max(), rows.max()) == (25, 35, 34, 44)


def test_page_in_mm_has_its_true_size() -> None:
    """ISO/IEC 15948: pHYs counts pixels to the metre."""
    image = Image.open(io.BytesIO(to_png(picture(line((0, 0), (9, 9), "#000000", 1), unit="mm"), 254.0)))
    assert image.size == (1000, 800)
    assert image.info["dpi"] == pytest.approx((254.0, 254.0), abs=0.01)


def test_the_same_drawing_gives_the_same_bytes() -> None:
    drawing = picture(Words(5, 20, "Moth", 12, "#000000", 90, "bold"), Area(RING, "#334455"))
    assert to_png(drawing) == to_png(drawing)


def test_words_in_groups_are_found() -> None:
    words = Words(0, 10, "deep", 10, "#000000", 50)
    assert list(every_words((Group((Group((words,)),)), Box(0, 0, 1, 1)))) == [words]
