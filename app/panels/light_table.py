"""The light table: the chosen piece large on film, with its size and its findings where they are."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget
from shapely import MultiPolygon

from app.canvas.paths import path_of
from app.panels.film_paint import film_box, paint_finding, paint_measures, paint_on_film, paint_ring
from app.panels.job_words import of_piece, open_findings, size_words
from app.theme import ui_font
from app.widgets.themed import Themed
from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.geometry.pose import at_width
from layout_core.job.model import Piece

_NAME_PX = 16
"""What the name above needs beyond the edge that film leaves for itself."""
_MOST_HIGHLIGHTS = 400
"""Beyond this a piece is hatched all over and single places say nothing; the list still holds them all."""


class LightTable(Themed, QWidget):
    """Paints one piece; `point_at` rings one finding of it; a double click asks to change it."""

    change_asked = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.theme = bench.theme
        self._pointed: Finding | None = None
        self._path_of: tuple[MultiPolygon, float, QPainterPath] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(QSize(260, 180))
        for signal in (
            bench.document.job_changed,
            bench.selection.changed,
            bench.checker.findings_changed,
            bench.settings.changed,
            bench.ink_mapping.changed,
        ):
            signal.connect(self.refresh)
        self.refresh()

    @property
    def piece(self) -> Piece | None:
        """The piece on the table: the chosen one, else the first of the job."""
        job, piece_id = self._bench.document.job, self._bench.selection.piece_id
        if piece_id is None:
            return job.pieces[0] if job.pieces else None
        return job.piece(piece_id)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.change_asked.emit()

    def point_at(self, finding: Finding) -> None:
        self._pointed = finding
        self.update()

    def refresh(self) -> None:
        piece = self.piece
        if self._pointed is not None and (piece is None or self._pointed.piece_id != piece.piece_id):
            self._pointed = None
        if piece is not None:
            size = size_words(*self._bench.document.job.size_of(piece), self._bench.settings.unit)
            self.setAccessibleName(f"Light table: {piece.name}, {size}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self.theme.matte))
        piece = self.piece
        if piece is not None:
            self._paint_piece(painter, piece)
        painter.end()

    def _outline(self, piece: Piece) -> tuple[MultiPolygon, float]:
        """What to paint and how wide (mm); for colours just chosen what they would print."""
        artwork = self._bench.document.job.artwork_of(piece)
        preview = self._bench.ink_mapping.preview(piece.art_id)
        if preview is None or preview.is_empty:
            return artwork.outline, piece.width_mm
        return preview, piece.width_mm * float(preview.bounds[2]) / artwork.width_mm

    def _paint_piece(self, painter: QPainter, piece: Piece) -> None:
        outline, width_mm = self._outline(piece)
        height_mm = width_mm * float(outline.bounds[3] / outline.bounds[2])
        box, scale = film_box(QRectF(self.rect()).adjusted(0, _NAME_PX, 0, 0), width_mm, height_mm)
        if scale <= 0:
            return
        paint_on_film(painter, box, scale, self._path(outline, width_mm), self.theme)
        if outline is self._bench.document.job.artwork_of(piece).outline:
            self._paint_findings(painter, piece, box.topLeft(), scale)
        paint_measures(painter, box, width_mm, height_mm, self._bench.settings.unit, self.theme)
        self._paint_name(painter, piece)

    def _path(self, outline: MultiPolygon, width_mm: float) -> QPainterPath:
        if self._path_of is None or self._path_of[0] is not outline or self._path_of[1] != width_mm:
            self._path_of = (outline, width_mm, path_of(at_width(outline, width_mm)))
        return self._path_of[2]

    def _paint_findings(self, painter: QPainter, piece: Piece, origin: QPointF, scale: float) -> None:
        bench = self._bench
        own = open_findings(bench.document.job, of_piece(bench.checker.findings, piece.piece_id))
        for finding in own[:_MOST_HIGHLIGHTS]:
            paint_finding(painter, finding, origin, scale, self.theme)
        if self._pointed is not None and self._pointed.where_mm is not None:
            accent = QColor(self.theme.accent)
            paint_ring(painter, self._pointed.where_mm, accent, 18.0, origin, scale, self.theme)

    def _paint_name(self, painter: QPainter, piece: Piece) -> None:
        painter.setFont(ui_font(14, 600))
        painter.setPen(QColor(self.theme.text))
        head = QRectF(24, 14, self.width() - 48, 22)
        shown = painter.fontMetrics().elidedText(piece.name, Qt.TextElideMode.ElideRight, int(head.width()))
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
