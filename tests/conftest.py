"""Set-up every test shares: no display, no user's folder, repeatable properties."""

import gc
import importlib
import os
import pkgutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import app
import layout_core
from app.cycles import collect_when_due
from layout_core.art import caps
from layout_core.art.pipe import Header
from layout_core.art.sandbox import Options, Sandbox
from layout_core.progress import Progress
from tests.patience import WAIT_S, PatientBot

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

settings.register_profile(
    "shop", deadline=None, derandomize=True, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("shop")


def pytest_sessionstart() -> None:
    """Loads the whole program, so that each run of a property draws the same examples.

    Hypothesis takes figures out of the modules that are loaded, which else depends on the tests before it.
    """
    for package in (layout_core, app):
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)


def lift_hands() -> None:
    """No button and no key is held any more, for Qt's own account of them."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication, QWidget

    if not isinstance(QApplication.instance(), QApplication):
        return
    for button in (Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        if QApplication.mouseButtons() & button:
            QTest.mouseRelease(QWidget(), button)
    if QApplication.keyboardModifiers() != Qt.KeyboardModifier.NoModifier:
        QTest.keyRelease(QWidget(), Qt.Key.Key_Shift)


@pytest.fixture
def qtbot(qapp: object, request: pytest.FixtureRequest) -> PatientBot:
    """The plug-in's bot with patience for a busy machine."""
    return PatientBot(request)


@pytest.fixture(autouse=True)
def _own_user_folder(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Each test gets an empty user folder; nobody's settings are read or written."""
    folder = tmp_path_factory.mktemp("user")
    monkeypatch.setenv("DUSKWRIGHT_USER_DIR", str(folder))
    return folder


@pytest.fixture(autouse=True)
def _art_is_read_with_patience(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock runs on while a busy machine lets the art worker wait; a test's own limit stays."""
    ask = Sandbox.ask

    def patient(
        sandbox: Sandbox, data: bytes, progress: Progress, seconds: float, *options: Options
    ) -> tuple[Header, list[bytes]]:
        return ask(sandbox, data, progress, WAIT_S if seconds == caps.SECONDS else seconds, *options)

    monkeypatch.setattr(Sandbox, "ask", patient)


@pytest.fixture(autouse=True)
def _cycles_freed_between_tests() -> Iterator[None]:
    """Cycles are collected on the main thread, as in the program: a worker that frees a widget crashes Qt."""
    gc.disable()
    yield
    collect_when_due()


@pytest.fixture(autouse=True)
def _hands_off_between_tests() -> Iterator[None]:
    """QTest leaves a button down after a double click, Shift after a key; the next test must not feel it."""
    yield
    if "PySide6.QtTest" in sys.modules:
        lift_hands()
