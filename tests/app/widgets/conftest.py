"""Widgets are deleted on the GUI thread, never by a worker that happens to collect garbage."""

import gc
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QEvent


@pytest.fixture(autouse=True)
def _leave_no_garbage() -> Iterator[None]:
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    gc.collect()
