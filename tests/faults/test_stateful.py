"""S1: random work with saves and snapshots that fail, crashes and undo; nothing is lost on any path."""

from pathlib import Path

import pytest
from hypothesis import Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from PySide6.QtWidgets import QApplication

from app import document
from layout_core.job import snapshots
from layout_core.job.file import job_bytes
from layout_core.job.model import Job
from tests.faults.saves import in_place
from tests.faults.shop_machine import ShopMachine

pytestmark = pytest.mark.gui

_TWIN = settings(max_examples=60, stateful_step_count=30, phases=[Phase.generate])


def test_nothing_is_lost_on_any_path(qapp: QApplication) -> None:
    run_state_machine_as_test(ShopMachine, settings=settings(max_examples=200, stateful_step_count=50))


def test_the_machine_catches_a_writer_that_writes_in_place(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    def careless(path: Path, job: Job) -> None:
        in_place(path, job_bytes(job))

    monkeypatch.setattr(document, "write_job", careless)
    with pytest.raises((AssertionError, OSError)):
        run_state_machine_as_test(ShopMachine, settings=_TWIN)


def test_the_machine_catches_a_keeper_that_throws_the_newest_away(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(snapshots, "KEPT", 0)
    with pytest.raises(AssertionError):
        run_state_machine_as_test(ShopMachine, settings=_TWIN)
