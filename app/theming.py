"""Keeps the application in the theme that the person, or the system, asks for."""

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QApplication

from app.settings import Settings
from app.theme import Theme, ThemeName, apply_theme, system_theme_name, theme_named

_SCHEMES = {"system": Qt.ColorScheme.Unknown, "dark": Qt.ColorScheme.Dark, "light": Qt.ColorScheme.Light}


class Theming(QObject):
    """Holds the theme in use and changes it at once, without a restart.

    `force` overrules both the settings and the system, for pictures and tests.
    """

    changed = Signal()

    def __init__(self, app: QApplication, settings: Settings, force: ThemeName | None = None) -> None:
        super().__init__()
        self._app = app
        self._settings = settings
        self._force = force
        self._ask_the_system()
        self._theme = self._wanted()
        apply_theme(app, self._theme)
        settings.changed.connect(self._follow)
        app.styleHints().colorSchemeChanged.connect(self._follow)

    @property
    def theme(self) -> Theme:
        return self._theme

    def force(self, name: ThemeName | None) -> None:
        """Show this theme whatever the settings say; None follows them again."""
        self._force = name
        self._follow()

    def _wanted(self) -> Theme:
        if self._force is not None:
            return theme_named(self._force)
        choice = self._settings.theme
        return theme_named(system_theme_name(self._app) if choice == "system" else choice)

    def _ask_the_system(self) -> None:
        """Let what the system paints itself, such as title bars and file dialogs, wear the theme too."""
        self._app.styleHints().setColorScheme(_SCHEMES[self._force or self._settings.theme])

    def _follow(self) -> None:
        self._ask_the_system()
        wanted = self._wanted()
        if wanted != self._theme:
            self._theme = wanted
            apply_theme(self._app, wanted)
            self.changed.emit()
