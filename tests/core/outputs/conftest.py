"""Outputs are tested with the faces that come along, whatever this computer has installed."""

from collections.abc import Iterator

import pytest

from layout_core.art.fonts import FontShelf, bundled_faces
from layout_core.outputs import stand_ins


@pytest.fixture(autouse=True)
def bundled_faces_alone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(stand_ins, "font_shelf", lambda: FontShelf(bundled_faces()))
    stand_ins.forget_stand_ins()
    yield
    stand_ins.forget_stand_ins()
