"""How long a test waits for a state: never for a time, since a busy machine may be very slow."""

from typing import Any

from pytestqt.qtbot import QtBot

WAIT_S = 120.0
WAIT_MS = round(1000 * WAIT_S)


class PatientBot(QtBot):
    """A bot that waits `WAIT_MS` where a test says nothing else; five seconds are its own default."""

    def waitSignal(self, signal: Any, *, timeout: int = WAIT_MS, **more: Any) -> Any:
        return super().waitSignal(signal, timeout=timeout, **more)

    def waitSignals(self, signals: Any, *, timeout: int = WAIT_MS, **more: Any) -> Any:
        return super().waitSignals(signals, timeout=timeout, **more)

    def waitUntil(self, callback: Any, *, timeout: int = WAIT_MS) -> None:
        super().waitUntil(callback, timeout=timeout)

    def waitExposed(self, widget: Any, *, timeout: int = WAIT_MS) -> Any:
        return super().waitExposed(widget, timeout=timeout)

    def waitActive(self, widget: Any, *, timeout: int = WAIT_MS) -> Any:
        return super().waitActive(widget, timeout=timeout)
