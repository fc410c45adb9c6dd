"""What the tests of the window and of the commands share."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app import console
from app.tasks import TaskRunner
from tests.app.command_folder import Run, fill_folder, run_command


@pytest.fixture
def tasks(qapp: QApplication) -> Iterator[TaskRunner]:
    """A task runner that is closed, as the program does it, before it goes."""
    runner = TaskRunner()
    yield runner
    runner.close()
    qapp.processEvents()


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command line in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(console.DEBUG, raising=False)
    fill_folder(tmp_path)
    return run_command
