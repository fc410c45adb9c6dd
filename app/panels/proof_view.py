"""The proof as it will be saved, fitted into the page, with what to do while there is none."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QStackedLayout, QVBoxLayout, QWidget

from app.panels.proof_maker import ProofMaker
from app.widgets.empty_state import EmptyState
from app.widgets.labels import label
from app.wiring import Workbench


class _Picture(QWidget):
    """One image, as large as fits, never enlarged beyond its pixels."""

    def __init__(self) -> None:
        super().__init__()
        self._image = QImage()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_png(self, png: bytes) -> None:
        self._image = QImage.fromData(png)
        self.update()

    @property
    def image(self) -> QImage:
        return self._image

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._image.isNull():
            return
        ratio = self.devicePixelRatioF()
        room = QSize(round(self.width() * ratio), round(self.height() * ratio))
        size = self._image.size()
        if size.width() > room.width() or size.height() > room.height():
            size = size.scaled(room, Qt.AspectRatioMode.KeepAspectRatio)
        shown = self._image.scaled(
            size, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        width, height = size.width() / ratio, size.height() / ratio
        box = QRectF((self.width() - width) / 2, (self.height() - height) / 2, width, height)
        painter = QPainter(self)
        painter.drawImage(box, shown)
        painter.end()


class ProofView(QWidget):
    """Follows the proof maker; says when the job has changed since the preview."""

    def __init__(self, bench: Workbench, maker: ProofMaker, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._maker = maker
        self.setProperty("look", "matte")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.picture = _Picture()
        self.picture.setAccessibleName("Layout proof")
        self.empty = EmptyState(
            "The layout proof is the picture a customer approves: every piece with its size and count.",
            "Make the proof",
            title="No proof yet",
        )
        self.caption = label("", "small")
        self.caption.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._stack = QStackedLayout()
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self.picture)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 16)
        column.setSpacing(10)
        column.addLayout(self._stack, 1)
        column.addWidget(self.caption)
        maker.made.connect(self.refresh)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        maker = self._maker
        has_proof = maker.shown is not None
        self.picture.show_png(maker.png)
        self._stack.setCurrentWidget(self.picture if has_proof else self.empty)
        if self.empty.button is not None:
            self.empty.button.setEnabled(bool(self._bench.document.job.pieces))
        self.caption.setVisible(has_proof)
        if maker.shown is not None:
            job, order_id = maker.shown
            whose = "the whole job" if order_id is None else job.order(order_id).name
            fresh = "as the job is now" if maker.is_fresh else "the job has changed since: make it again"
            self.caption.setText(f"Layout proof of {whose} · {fresh}")
            self.picture.setAccessibleDescription(self.caption.text())
