"""The proof as it will be saved, on a desk that scrolls, with what to do while there is none."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QStackedLayout, QVBoxLayout, QWidget

from app.panels.proof_maker import ProofMaker
from app.widgets.empty_state import EmptyState
from app.widgets.labels import label
from app.wiring import Workbench

WIDEST_PAGE_PX = 860


class _Page(QWidget):
    """One image at the width it is given, never enlarged beyond its pixels."""

    def __init__(self) -> None:
        super().__init__()
        self._image = QImage()
        self._shown = QImage()
        self.setAccessibleName("Layout proof")

    @property
    def image(self) -> QImage:
        return self._image

    @property
    def scaled_to_px(self) -> int:
        """How wide the page was last painted, in pixels; 0 while it was not in sight."""
        return self._shown.width()

    def show_image(self, image: QImage) -> None:
        self._image, self._shown = image, QImage()

    def fit(self, width: int) -> None:
        """Take the width, and the height that belongs to it."""
        if self._image.isNull() or width < 1:
            return
        ratio = self.devicePixelRatioF()
        wide = min(round(width * ratio), self._image.width())
        high = round(wide * self._image.height() / self._image.width())
        self.setFixedSize(round(wide / ratio), round(high / ratio))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Only a page in sight is scaled, once for each width."""
        ratio = self.devicePixelRatioF()
        wide = round(self.width() * ratio)
        if not self._image.isNull() and self._shown.width() != wide:
            self._shown = self._image.scaledToWidth(wide, Qt.TransformationMode.SmoothTransformation)
            self._shown.setDevicePixelRatio(ratio)
        painter = QPainter(self)
        painter.drawImage(0, 0, self._shown)
        painter.end()


class _Desk(QScrollArea):
    """The pages in the middle, as wide as reads well, scrolled down like paper."""

    def __init__(self) -> None:
        super().__init__()
        self.pages: list[_Page] = [_Page()]
        self._paper = QWidget()
        self._paper.setProperty("look", "matte")
        self._column = QVBoxLayout(self._paper)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(12)
        self._column.setSizeConstraint(QVBoxLayout.SizeConstraint.SetFixedSize)
        self._column.addWidget(self.pages[0])
        self.setWidget(self._paper)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Layout proof, scrolled with the arrow keys")

    def show_images(self, images: Sequence[QImage]) -> None:
        """Show these pages, one under the other, from the top."""
        while len(self.pages) < len(images):
            self.pages.append(_Page())
            self._column.addWidget(self.pages[-1])
        for number, page in enumerate(self.pages, 1):
            is_used = number <= len(images)
            page.setVisible(is_used)
            page.show_image(images[number - 1] if is_used else QImage())
            page.setAccessibleName(
                "Layout proof" if len(images) < 2 else f"Layout proof, page {number} of {len(images)}"
            )
        self.fit_page()
        self.verticalScrollBar().setValue(0)

    def fit_page(self) -> None:
        for page in self.pages:
            page.fit(min(self.viewport().width() - 8, WIDEST_PAGE_PX))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_page()


class ProofView(QWidget):
    """Follows the proof maker; says when the job has changed since the preview."""

    def __init__(self, bench: Workbench, maker: ProofMaker, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._maker = maker
        self.setProperty("look", "matte")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.desk = _Desk()
        self.page = self.desk.pages[0]
        self.empty = EmptyState(
            "The layout proof is the picture a customer approves: every piece with its size and count.",
            "Make the proof",
            title="No proof yet",
        )
        self.caption = label("", "small", wraps=True)
        self.caption.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._stack = QStackedLayout()
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self.desk)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 16, 8, 12)
        column.setSpacing(10)
        column.addLayout(self._stack, 1)
        column.addWidget(self.caption)
        maker.made.connect(self._show_page)
        maker.made.connect(self.refresh)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def _show_page(self) -> None:
        self.desk.show_images(self._maker.images)

    def refresh(self) -> None:
        maker = self._maker
        has_proof = maker.shown is not None
        self._stack.setCurrentWidget(self.desk if has_proof else self.empty)
        if self.empty.button is not None:
            self.empty.button.setEnabled(bool(self._bench.document.job.pieces))
        self.caption.setVisible(has_proof)
        if maker.shown is not None:
            job, order_id = maker.shown
            whose = "the whole job" if order_id is None else job.order(order_id).name
            fresh = "as the job is now" if maker.is_fresh else "the job has changed since: make it again"
            pages = f" · {len(maker.pngs)} pages" if len(maker.pngs) > 1 else ""
            self.caption.setText(f"Layout proof of {whose}{pages} · {fresh}")
            self.page.setAccessibleDescription(self.caption.text())
