"""The one row of tools above the sheets; each is also in a menu."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QToolButton, QWidget

from app.actions import Actions

_ICON_TOOLS = (("turn_right", "duplicate", "lock", "delete"), ("zoom_fit", "snap"), ("undo", "redo"))
_DIVIDERS_FROM_PX = 640
_UNDO_FROM_PX = 600
_ADD_SHEET_FROM_PX = 500


class ToolsRow(QWidget):
    """Autopack first, then the sheet, the chosen pieces, undo, and how the sheets are seen."""

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "matte")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 12, 16, 8)
        row.setSpacing(6)
        self.autopack = self._word_button(actions, "autopack", "Autopack", "primary")
        self.add_sheet = self._word_button(actions, "add_sheet", "Add sheet", None)
        row.addWidget(self.autopack)
        row.addWidget(self.add_sheet)
        self._dividers: list[QFrame] = []
        self._tools: dict[str, QToolButton] = {}
        for group in _ICON_TOOLS:
            self._dividers.append(_divider())
            row.addWidget(self._dividers[-1])
            for name in group:
                self._tools[name] = _icon_button(actions, name)
                row.addWidget(self._tools[name])
        row.addStretch(1)

    def tool(self, name: str) -> QToolButton:
        return self._tools[name]

    def minimumSizeHint(self) -> QSize:
        return QSize(360, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What has a menu entry and a key gives way before the words of Autopack are cut."""
        super().resizeEvent(event)
        width = event.size().width()
        for divider in self._dividers:
            divider.setVisible(width >= _DIVIDERS_FROM_PX)
        for name in ("undo", "redo"):
            self._tools[name].setVisible(width >= _UNDO_FROM_PX)
        self.add_sheet.setVisible(width >= _ADD_SHEET_FROM_PX)

    def _word_button(self, actions: Actions, name: str, words: str, look: str | None) -> QPushButton:
        action = actions[name]
        button = QPushButton(words)
        if look is not None:
            button.setProperty("look", look)
        button.setToolTip(action.toolTip())
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        button.setEnabled(action.isEnabled())
        button.clicked.connect(action.trigger)
        action.changed.connect(lambda: button.setEnabled(action.isEnabled()))
        return button


def _icon_button(actions: Actions, name: str) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(actions[name])
    button.setAccessibleName(actions[name].text().replace("&", ""))
    button.setProperty("look", "quiet")
    button.setIconSize(QSize(20, 20))
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button


def _divider() -> QFrame:
    line = QFrame()
    line.setFixedSize(1, 20)
    line.setProperty("look", "divider")
    return line
