"""The preview of an editor: the true outline on film, its measures and what the checks find in it."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.paths import path_of
from app.drafting import Drafting
from app.panels.film_paint import film_box, paint_finding, paint_measures, paint_on_film
from app.panels.job_words import size_words
from app.theme import ui_font
from app.widgets.themed import Themed
from app.wiring import Workbench

_MOST_FINDINGS = 60


class DraftView(Themed, QWidget):
    """Follows a draft; `hint` is what it says while there is nothing to show."""

    def __init__(
        self, bench: Workbench, drafting: Drafting, hint: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._drafting = drafting
        self._hint = hint
        self._path: tuple[str, QPainterPath] | None = None
        self.theme = bench.theme
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(QSize(160, 120))
        drafting.changed.connect(self.refresh)
        bench.settings.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        artwork = self._drafting.artwork
        if artwork is None:
            self.setAccessibleName("Preview: nothing yet")
        else:
            size = size_words(artwork.width_mm, artwork.height_mm, self._bench.settings.unit)
            self.setAccessibleName(f"Preview: {artwork.name}, {size}")
        self.update()

    @property
    def path(self) -> QPainterPath | None:
        """What is painted, in mm."""
        artwork = self._drafting.artwork
        if artwork is None:
            return None
        if self._path is None or self._path[0] != artwork.digest:
            self._path = (artwork.digest, path_of(artwork.outline))
        return self._path[1]

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self.theme.matte))
        artwork, path = self._drafting.artwork, self.path
        if artwork is None or path is None:
            self._paint_hint(painter)
        else:
            box, scale = film_box(QRectF(self.rect()), artwork.width_mm, artwork.height_mm)
            paint_on_film(painter, box, scale, path, self.theme)
            report = self._drafting.report
            for finding in () if report is None else report.findings[:_MOST_FINDINGS]:
                paint_finding(painter, finding, box.topLeft(), scale, self.theme)
            unit = self._bench.settings.unit
            paint_measures(painter, box, artwork.width_mm, artwork.height_mm, unit, self.theme)
        painter.end()

    def _paint_hint(self, painter: QPainter) -> None:
        if self._drafting.wish is None or self._drafting.fault is not None:
            painter.setFont(ui_font(13))
            painter.setPen(QColor(self.theme.text))
            room = QRectF(self.rect()).adjusted(24, 24, -24, -24)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self._hint)
