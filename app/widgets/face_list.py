"""A list of fonts: each row holds a sample in the font itself and its name."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QPainter, QPainterPath
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.theme import ui_font
from app.tokens import Theme
from app.widgets.plain_tip import plain_tip
from app.widgets.themed import Themed
from layout_core.art.fonts import Face

FACE_ROLE = Qt.ItemDataRole.UserRole
ROW_PX = 52
_SAMPLE_PX = 24.0
_INDENT_PX = 12

Index = QModelIndex | QPersistentModelIndex


class FaceRows(QAbstractListModel):
    """The faces whose name holds the words looked for; asks for samples as rows come into view."""

    sample_asked = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._faces: tuple[Face, ...] = ()
        self._shown: tuple[Face, ...] = ()
        self._words = ""
        self._samples: dict[Face, QPainterPath | None] = {}

    def show_faces(self, faces: Sequence[Face]) -> None:
        self._faces = tuple(faces)
        self._filter()

    def look_for(self, words: str) -> None:
        self._words = " ".join(words.split()).casefold()
        self._filter()

    def row_of(self, name: str) -> int | None:
        wanted = name.casefold()
        return next((row for row, face in enumerate(self._shown) if face.name.casefold() == wanted), None)

    def sample(self, face: Face) -> QPainterPath | None:
        """The sample, in mm round (0, 0) as its baseline; None until it is there, or where there is none."""
        if face not in self._samples:
            self._samples[face] = None
            self.sample_asked.emit(face)
        return self._samples[face]

    def take_samples(self, samples: Mapping[Face, QPainterPath]) -> None:
        self._samples.update(samples)
        if self._shown:
            self.dataChanged.emit(self.index(0), self.index(len(self._shown) - 1))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        face = self._shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return face.name
        told = f"{face.name} ({face.suits})" if face.suits else face.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(told)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return told
        return face if role == FACE_ROLE else None

    def _filter(self) -> None:
        self.beginResetModel()
        self._shown = tuple(face for face in self._faces if self._words in face.name.casefold())
        self.endResetModel()


class _FaceRow(QStyledItemDelegate):
    """Paints the sample in the font, and under it the name with what a bundled face is like."""

    theme: Theme

    def __init__(self, rows: FaceRows, parent: QObject) -> None:
        super().__init__(parent)
        self._rows = rows

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(120, ROW_PX)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        face: Face = index.data(FACE_ROLE)
        box = QRectF(option.rect)
        state = option.state
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if state & (QStyle.StateFlag.State_Selected | QStyle.StateFlag.State_MouseOver):
            is_chosen = bool(state & QStyle.StateFlag.State_Selected)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.theme.accent_fill if is_chosen else self.theme.hover))
            painter.drawRoundedRect(box.adjusted(2, 1, -2, -1), 6, 6)
        path = self._rows.sample(face)
        if path is not None:
            painter.save()
            self._paint_sample(painter, box, path)
            painter.restore()
        painter.setFont(ui_font(12, 500))
        painter.setPen(QColor(self.theme.text))
        line = QRectF(box.left() + _INDENT_PX, box.bottom() - 21, box.width() - 2 * _INDENT_PX, 18)
        words = f"{face.name} · {face.suits}" if face.suits else face.name
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, int(line.width()))
        painter.drawText(line, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()

    def _paint_sample(self, painter: QPainter, box: QRectF, path: QPainterPath) -> None:
        bounds = path.boundingRect()
        room = box.width() - 2 * _INDENT_PX
        scale = min(_SAMPLE_PX / max(bounds.height(), 1e-6), room / max(bounds.width(), 1e-6), 1.7)
        painter.translate(box.left() + _INDENT_PX, box.top() + 6 + (_SAMPLE_PX - bounds.height() * scale) / 2)
        painter.scale(scale, scale)
        painter.translate(-bounds.topLeft())
        painter.fillPath(path, QColor(self.theme.text))


class FaceList(Themed, QListView):
    """The list; the chosen row is its current one."""

    def __init__(self, theme: Theme, rows: FaceRows, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._painter = _FaceRow(rows, self)
        self._painter.theme = self.theme = theme
        self.setModel(rows)
        self.setItemDelegate(self._painter)
        self.setAccessibleName("Font")
        self.setProperty("look", "boxed")
        self.setMouseTracking(True)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def set_theme(self, theme: Theme) -> None:
        self._painter.theme = self.theme = theme
        self.viewport().update()
