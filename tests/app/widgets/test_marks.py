"""Marks differ in shape, not only in colour."""

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.tokens import ThemeName, contrast, theme_named
from app.widgets.marks import Mark, mark_colour, paint_mark

pytestmark = pytest.mark.gui
SIDE = 40


def covered(mark: Mark, theme: ThemeName) -> np.ndarray:
    """Where the mark has put anything at all, whatever its colour."""
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGBA8888)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    paint_mark(painter, QRectF(0, 0, SIDE, SIDE), mark, theme_named(theme))
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(SIDE, SIDE, 4)[..., 3] > 100


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_every_two_marks_differ_in_shape(qapp: QApplication, theme: ThemeName) -> None:
    shapes = {mark: covered(mark, theme) for mark in Mark}
    assert all(shape.sum() > 40 for shape in shapes.values())
    for first, second in combinations(Mark, 2):
        union = (shapes[first] | shapes[second]).sum()
        differing = (shapes[first] ^ shapes[second]).sum()
        assert differing / union > 0.12, (first, second)


@pytest.mark.parametrize("theme", ["dark", "light"])
@pytest.mark.parametrize("mark", list(Mark))
def test_marks_stand_out_from_cards_and_panels(mark: Mark, theme: ThemeName) -> None:
    tokens = theme_named(theme)
    for ground in (tokens.back, tokens.panel, tokens.raised):
        assert contrast(mark_colour(mark, tokens), ground) >= 3.0


def test_each_mark_has_a_word_of_its_own() -> None:
    assert len({mark.value for mark in Mark}) == len(Mark) == 5
