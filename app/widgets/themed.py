"""What a widget that paints itself needs: the tokens in force, and a repaint when they change."""

from PySide6.QtWidgets import QWidget

from app.tokens import Theme


class Themed:
    """Mixed into a QWidget that paints with theme tokens; the window hands each one a new theme."""

    theme: Theme

    def set_theme(self, theme: Theme) -> None:
        self.theme = theme
        if isinstance(self, QWidget):
            self.update()


def hand_down(root: QWidget, theme: Theme) -> None:
    """Give the theme to every themed widget below `root`, and to `root` itself."""
    for widget in (root, *root.findChildren(QWidget)):
        if isinstance(widget, Themed):
            widget.set_theme(theme)
