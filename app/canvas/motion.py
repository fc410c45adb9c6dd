"""The little motion there is: new pieces slide to their places, a beacon shows a finding."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import QEasingCurve, QObject, QPointF, QVariantAnimation

from app.canvas.overlays import BeaconItem
from app.canvas.scene import SheetScene

SLIDE_MS = 150
SLIDE_FROM_PX = 26.0
BEACON_MS = 1800


class Slides:
    """Moves newly laid pieces the last stretch to their places; 150 ms, ended at once by the next change."""

    def __init__(self, scene: SheetScene, parent: QObject) -> None:
        self._scene = scene
        self._targets: dict[int, QPointF] = {}
        self._run = _animation(parent, SLIDE_MS, self._show, self._end)

    def start(self, placed_ids: Iterable[int]) -> None:
        self.stop()
        self._targets = dict(self._scene.positions(placed_ids))
        self._show(0.0)
        self._run.start()

    def stop(self) -> None:
        """Put everything where it belongs."""
        self._run.stop()
        self._end()

    def _show(self, share: float) -> None:
        rise_mm = SLIDE_FROM_PX / self._scene.px_per_mm * (1.0 - share)
        for placed_id, target in self._targets.items():
            item = self._scene.piece_items.get(placed_id)
            if item is not None:
                item.setPos(target - QPointF(0.0, rise_mm))
                item.setOpacity(share)

    def _end(self) -> None:
        for placed_id in self._targets:
            item = self._scene.piece_items.get(placed_id)
            if item is not None:
                item.setOpacity(1.0)
        self._scene.put_back(self._targets)
        self._targets = {}


class Beacon:
    """Closes in on a place, stands a moment and fades; without motion it only stands."""

    def __init__(self, item: BeaconItem, parent: QObject) -> None:
        self._item = item
        self._has_motion = True
        self._run = _animation(parent, BEACON_MS, self._show, lambda: item.set_phase(1.0))

    def start(self, *, has_motion: bool) -> None:
        self._has_motion = has_motion
        self._run.stop()
        self._run.start()

    def _show(self, share: float) -> None:
        self._item.set_phase(share if self._has_motion else 0.5)


def _animation(
    parent: QObject, duration_ms: int, show: Callable[[float], None], end: Callable[[], None]
) -> QVariantAnimation:
    run = QVariantAnimation(parent)
    run.setDuration(duration_ms)
    run.setStartValue(0.0)
    run.setEndValue(1.0)
    run.setEasingCurve(QEasingCurve.Type.OutCubic)
    run.valueChanged.connect(lambda value: show(float(value)))
    run.finished.connect(end)
    return run
