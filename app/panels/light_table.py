"""The light table: the chosen piece large on film, with its size and its findings where they are."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget
from shapely import MultiPolygon

from app.canvas.paths import path_of
from app.panels.job_words import MARK_OF, of_piece, open_findings, size_words
from app.theme import measure_font, ui_font
from app.widgets.marks import mark_colour
from app.widgets.themed import Themed
from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.geometry.pose import at_width
from layout_core.job.model import Piece
from layout_core.units import write_length

_EDGE_PX = 64
_MOST_HIGHLIGHTS = 400
"""Beyond this a piece is hatched all over and single places say nothing; the list still holds them all."""


class LightTable(Themed, QWidget):
    """Paints one piece; `point_at` rings one finding of it."""

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
        room = QRectF(self.rect()).adjusted(_EDGE_PX, _EDGE_PX, -_EDGE_PX, -_EDGE_PX)
        scale = min(room.width() / width_mm, room.height() / height_mm)
        if scale <= 0:
            return
        box = QRectF(0, 0, width_mm * scale, height_mm * scale)
        box.moveCenter(room.center())
        theme = self.theme
        painter.setPen(QPen(QColor(theme.film_edge), 1))
        painter.setBrush(QColor(theme.film))
        painter.drawRoundedRect(box.adjusted(-18, -18, 18, 18), 4, 4)
        painter.save()
        painter.translate(box.topLeft())
        painter.scale(scale, scale)
        painter.fillPath(self._path(outline, width_mm), QColor(theme.ink))
        painter.restore()
        if outline is self._bench.document.job.artwork_of(piece).outline:
            self._paint_findings(painter, piece, box.topLeft(), scale)
        self._paint_size(painter, piece, box, (width_mm, height_mm))

    def _path(self, outline: MultiPolygon, width_mm: float) -> QPainterPath:
        if self._path_of is None or self._path_of[0] is not outline or self._path_of[1] != width_mm:
            self._path_of = (outline, width_mm, path_of(at_width(outline, width_mm)))
        return self._path_of[2]

    def _paint_findings(self, painter: QPainter, piece: Piece, origin: QPointF, scale: float) -> None:
        bench = self._bench
        own = open_findings(bench.document.job, of_piece(bench.checker.findings, piece.piece_id))
        for finding in own[:_MOST_HIGHLIGHTS]:
            colour = QColor(mark_colour(MARK_OF[finding.severity], self.theme))
            if finding.highlight is not None:
                self._paint_highlight(painter, path_of(finding.highlight), colour, origin, scale)
            if finding.where_mm is not None:
                self._paint_ring(painter, finding.where_mm, colour, 7.0, origin, scale)
        if self._pointed is not None and self._pointed.where_mm is not None:
            self._paint_ring(painter, self._pointed.where_mm, QColor(self.theme.accent), 18.0, origin, scale)

    def _paint_highlight(
        self, painter: QPainter, shape: QPainterPath, colour: QColor, origin: QPointF, scale: float
    ) -> None:
        painter.save()
        painter.translate(origin)
        painter.scale(scale, scale)
        painter.fillPath(shape, colour)
        pen = QPen(colour, 2.0)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(shape)
        painter.restore()

    def _paint_ring(
        self,
        painter: QPainter,
        where_mm: tuple[float, float],
        colour: QColor,
        radius_px: float,
        origin: QPointF,
        scale: float,
    ) -> None:
        """A ring with a casing, so that it stands out on ink and on film."""
        centre = origin + QPointF(where_mm[0] * scale, where_mm[1] * scale)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, line in ((4.5, QColor(self.theme.casing)), (2.0, colour)):
            painter.setPen(QPen(line, width))
            painter.drawEllipse(centre, radius_px, radius_px)

    def _paint_size(self, painter: QPainter, piece: Piece, box: QRectF, size_mm: tuple[float, float]) -> None:
        """The width below and the height beside the film, as measures with end ticks."""
        width_mm, height_mm = size_mm
        unit, theme = self._bench.settings.unit, self.theme
        painter.setFont(measure_font(12, 500))
        colour = QColor(theme.text)
        colour.setAlphaF(0.75)
        painter.setPen(QPen(colour, 1))
        below, beside = box.bottom() + 32, box.right() + 32
        painter.drawLine(QPointF(box.left(), below), QPointF(box.center().x() - 40, below))
        painter.drawLine(QPointF(box.center().x() + 40, below), QPointF(box.right(), below))
        painter.drawLine(QPointF(beside, box.top()), QPointF(beside, box.center().y() - 40))
        painter.drawLine(QPointF(beside, box.center().y() + 40), QPointF(beside, box.bottom()))
        painter.drawLine(QPointF(box.left(), below - 4), QPointF(box.left(), below + 4))
        painter.drawLine(QPointF(box.right(), below - 4), QPointF(box.right(), below + 4))
        painter.drawLine(QPointF(beside - 4, box.top()), QPointF(beside + 4, box.top()))
        painter.drawLine(QPointF(beside - 4, box.bottom()), QPointF(beside + 4, box.bottom()))
        words = write_length(width_mm, unit, 2 if unit == "in" else 0)
        painter.drawText(
            QRectF(box.center().x() - 60, below - 10, 120, 20), Qt.AlignmentFlag.AlignCenter, words
        )
        painter.save()
        painter.translate(beside, box.center().y())
        painter.rotate(90)
        words = write_length(height_mm, unit, 2 if unit == "in" else 0)
        painter.drawText(QRectF(-60, -10, 120, 20), Qt.AlignmentFlag.AlignCenter, words)
        painter.restore()
        painter.setFont(ui_font(14, 600))
        painter.setPen(QColor(theme.text))
        head = QRectF(24, 14, self.width() - 48, 22)
        shown = painter.fontMetrics().elidedText(piece.name, Qt.TextElideMode.ElideRight, int(head.width()))
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
