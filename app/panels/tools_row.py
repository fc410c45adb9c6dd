"""The one row of tools above the sheets; each is also in a menu."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QToolButton, QWidget

from app.actions import Actions
from app.packing_task import PackingTask
from app.viewing import VIEWS, Viewing
from app.widgets.segmented import Segmented

_ICON_TOOLS = (("turn_right", "duplicate", "lock", "delete"), ("zoom_fit", "snap"), ("undo", "redo"))
_DIVIDERS_FROM_PX = 830
_ADD_SHEET_FROM_PX = 710
_TOOLS_FROM_PX = {"undo": 790, "redo": 790, "lock": 620, "duplicate": 580, "snap": 540, "turn_right": 500}
_SWITCH_FROM_PX = 440
"""Below these widths a tool gives way; each is also in a menu and has a key."""


class ToolsRow(QWidget):
    """Autopack first, then the sheet, the chosen pieces, undo, and at the end how the sheets are seen."""

    def __init__(
        self, actions: Actions, packing: PackingTask, viewing: Viewing, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._packing = packing
        self.setProperty("look", "matte")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 12, 16, 8)
        row.setSpacing(6)
        self.autopack = self._word_button(actions, "autopack", "Autopack", "primary")
        self.stop = QPushButton("Stop autopack")
        self.stop.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.stop.setToolTip("Keep the best layout found so far")
        self.stop.clicked.connect(packing.stop)
        self.stop.hide()
        packing.running_changed.connect(self._show_running)
        self.add_sheet = self._word_button(actions, "add_sheet", "Add sheet", None)
        row.addWidget(self.autopack)
        row.addWidget(self.stop)
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
        self.view_switch = Segmented("View", VIEWS)
        self.view_switch.setMinimumWidth(216)
        for view, _ in VIEWS:
            self.view_switch.button(view).setToolTip(actions[f"view_{view}"].toolTip())
        self.view_switch.chosen.connect(viewing.look_at)
        viewing.view_changed.connect(lambda: self.view_switch.set_current(viewing.view))
        row.addWidget(self.view_switch)

    def _show_running(self) -> None:
        """While autopack runs its button gives place to the one that stops it, and hands over the focus."""
        is_running = self._packing.is_running
        had_focus = self.autopack.hasFocus() or self.stop.hasFocus()
        if is_running:
            self.stop.setText(f"Stop {self._packing.name.lower()}")
        self.stop.setVisible(is_running)
        self.autopack.setVisible(not is_running)
        if had_focus:
            (self.stop if is_running else self.autopack).setFocus()

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
        for name, from_px in _TOOLS_FROM_PX.items():
            self._tools[name].setVisible(width >= from_px)
        self.view_switch.setVisible(width >= _SWITCH_FROM_PX)
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
