"""The pictures of the README are those of the real window, each of its own state."""

from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtWidgets import QApplication

from tests.pictures import SHOTS, SIZE_PX, take
from tests.window_kit import shop_job

pytestmark = pytest.mark.gui


def test_each_shot_has_a_name_and_a_state_of_its_own() -> None:
    assert len({shot.name for shot in SHOTS}) == len(SHOTS)
    assert len({(shot.arrange, shot.theme, shot.is_empty, shot.width_px) for shot in SHOTS}) == len(SHOTS)


def test_a_picture_is_the_whole_window_and_the_same_each_time(qapp: QApplication, tmp_path: Path) -> None:
    pair = [shot for shot in SHOTS if shot.name in ("window-dark", "window-light")]
    for folder in ("first", "again"):
        (tmp_path / folder).mkdir()
        take(qapp, shop_job(), pair, tmp_path / folder)
    dark, light = (Image.open(tmp_path / "first" / f"{shot.name}.png").convert("RGB") for shot in pair)
    assert dark.size == light.size == SIZE_PX
    assert dark.getpixel((4, 4)) != light.getpixel((4, 4))
    for shot in pair:
        names = [tmp_path / folder / f"{shot.name}.png" for folder in ("first", "again")]
        assert names[0].read_bytes() == names[1].read_bytes()
