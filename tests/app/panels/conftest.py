"""A workbench round the shop job, and panels that are gone before its workers end."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from app.wiring import Workbench
from tests.window_kit import shop_job, throw_away, workbench

Keep = Callable[[QWidget], None]


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp, shop_job()) as built:
        yield built


@pytest.fixture
def keep(bench: Workbench) -> Iterator[Keep]:
    """Shows a panel now and deletes it before the workbench closes.

    A forgotten panel would be collected by whichever thread collects garbage next, and Qt dies of that.
    """
    kept: list[QWidget] = []

    def show(widget: QWidget) -> None:
        kept.append(widget)
        widget.show()

    yield show
    for widget in kept:
        throw_away(widget)
