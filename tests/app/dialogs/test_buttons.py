"""The buttons of the dialogs: words alone, since the desktop's own signs vanish on a dark ground."""

import pytest
from PySide6.QtWidgets import QDialogButtonBox

from app.wiring import Workbench
from tests.app.panels.conftest import Keep

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_a_dialog_button_wears_no_sign_of_the_desktop(keep: Keep, bench: Workbench, theme: str) -> None:
    bench.theming.force("dark" if theme == "dark" else "light")
    box = QDialogButtonBox(QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Close)
    keep(box)
    assert len(box.buttons()) == 2
    assert all(button.icon().isNull() for button in box.buttons())
