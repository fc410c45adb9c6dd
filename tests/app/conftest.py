"""What the window's tests share."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from app.tasks import TaskRunner


@pytest.fixture
def tasks(qapp: QApplication) -> Iterator[TaskRunner]:
    """A task runner that is closed, as the program does it, before it goes."""
    runner = TaskRunner()
    yield runner
    runner.close()
    qapp.processEvents()
