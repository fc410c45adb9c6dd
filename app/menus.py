"""The menu bar: every action, the recent jobs and the themes."""

from pathlib import Path

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from app.action_table import Menu
from app.actions import Actions
from app.job_files import JobFiles
from app.settings import Settings
from app.widgets.plain_tip import plain_tip

_TITLES: tuple[tuple[Menu, str], ...] = (
    ("File", "&File"),
    ("Edit", "&Edit"),
    ("Piece", "&Piece"),
    ("Sheet", "&Sheet"),
    ("View", "&View"),
    ("Help", "&Help"),
)
_THEMES = (("system", "Like the &system"), ("dark", "&Dark"), ("light", "&Light"))


class Menus(QMenuBar):
    """Filled once from the actions; the recent jobs and the themes follow the settings."""

    def __init__(
        self, actions: Actions, settings: Settings, files: JobFiles, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setNativeMenuBar(False)
        self._settings = settings
        self._files = files
        self._menus: dict[Menu, QMenu] = {}
        for name, title in _TITLES:
            menu = self._menus[name] = self.addMenu(title)
            menu.setToolTipsVisible(True)
            for action, begins_group in actions.of_menu(name):
                if begins_group:
                    menu.addSeparator()
                menu.addAction(action)
        self.recent = QMenu("Recent jo&bs", self)
        self.recent.aboutToShow.connect(self.fill_recent)
        self._menus["File"].insertMenu(actions["open_sample"], self.recent)
        self._themes: dict[str, QAction] = {}
        self._add_themes()
        settings.changed.connect(self._show_choices)
        self._show_choices()

    def menu(self, name: Menu) -> QMenu:
        return self._menus[name]

    def theme_action(self, choice: str) -> QAction:
        return self._themes[choice]

    def fill_recent(self) -> None:
        """List the recent jobs; those that are gone stand greyed."""
        self.recent.clear()
        for number, path in enumerate(self._settings.recent_jobs, 1):
            words = f"&{number} {_shown(path)}" if number < 10 else _shown(path)
            action = self.recent.addAction(words)
            action.setToolTip(plain_tip(str(path)))
            action.setEnabled(path.is_file())
            action.triggered.connect(lambda _checked=False, path=path: self._files.open(path))

    def _add_themes(self) -> None:
        submenu = self._menus["View"].addMenu("&Theme")
        group = QActionGroup(self)
        group.setExclusive(True)
        for choice, words in _THEMES:
            action = submenu.addAction(words)
            action.setCheckable(True)
            action.triggered.connect(
                lambda _checked=False, choice=choice: self._settings.change(theme=choice)
            )
            group.addAction(action)
            self._themes[choice] = action

    def _show_choices(self) -> None:
        self.recent.setEnabled(bool(self._settings.recent_jobs))
        self._themes[self._settings.theme].setChecked(True)


def _shown(path: Path) -> str:
    name = path.stem.replace("&", "&&")
    folder = path.parent.name.replace("&", "&&")
    return f"{name}  ({folder})" if folder else name


def alt_number(action: QAction, number: int) -> None:
    """Let Alt and a figure bring a station into view, besides the action's own key."""
    key = f"Alt+{number}"
    if all(shortcut.toString() != key for shortcut in action.shortcuts()):
        action.setShortcuts([*action.shortcuts(), QKeySequence(key)])
