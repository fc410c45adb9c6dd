"""Puts a theme on the application: palette, style sheet, bundled font, tinted icons."""

from functools import cache
from pathlib import Path
from typing import cast

import font_manrope
from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QIcon, QImage, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

from app.style_sheet import style_sheet
from app.tokens import Theme, ThemeName, theme_named
from layout_core.shipped import shipped

__all__ = [
    "BODY_PX",
    "SMALL_PX",
    "TITLE_PX",
    "Theme",
    "ThemeName",
    "apply_theme",
    "colour",
    "icon",
    "load_fonts",
    "measure_font",
    "program_icon",
    "system_theme_name",
    "theme_named",
    "ui_font",
]

FAMILY = "Manrope"
BODY_PX, SMALL_PX, TITLE_PX = 13.0, 11.5, 14.0
_FONT_FILES = ("Manrope-Regular.ttf", "Manrope-Medium.ttf", "Manrope-SemiBold.ttf", "Manrope-Bold.ttf")
_ICON_SIZES_PX = (20, 24, 32, 40, 60)
_PROGRAM_SIZES_PX = (16, 24, 32, 48, 64, 128, 256)
_ROLES = {
    QPalette.ColorRole.Window: "panel",
    QPalette.ColorRole.WindowText: "text",
    QPalette.ColorRole.Base: "raised",
    QPalette.ColorRole.AlternateBase: "panel",
    QPalette.ColorRole.Text: "text",
    QPalette.ColorRole.Button: "raised",
    QPalette.ColorRole.ButtonText: "text",
    QPalette.ColorRole.BrightText: "stop",
    QPalette.ColorRole.ToolTipBase: "raised",
    QPalette.ColorRole.ToolTipText: "text",
    QPalette.ColorRole.PlaceholderText: "muted",
    QPalette.ColorRole.Highlight: "accent",
    QPalette.ColorRole.HighlightedText: "on_accent",
    QPalette.ColorRole.Accent: "accent",
    QPalette.ColorRole.Link: "accent_text",
    QPalette.ColorRole.LinkVisited: "accent_text",
    QPalette.ColorRole.Light: "hover",
    QPalette.ColorRole.Midlight: "line",
    QPalette.ColorRole.Mid: "edge",
    QPalette.ColorRole.Dark: "edge",
    QPalette.ColorRole.Shadow: "matte",
}
_ROLES_FAINT_WHEN_DISABLED = (
    QPalette.ColorRole.WindowText,
    QPalette.ColorRole.Text,
    QPalette.ColorRole.ButtonText,
    QPalette.ColorRole.HighlightedText,
)


def apply_theme(app: QApplication, theme: Theme) -> None:
    """Dress every window of the application in the theme, at once."""
    load_fonts()
    if not app.styleSheet():
        # Once: each setStyle dresses every widget anew, and so does each of the calls below.
        app.setStyle("Fusion")
        app.setFont(ui_font())
    app.setPalette(_palette(theme))
    sheet = style_sheet(theme, shipped("resources", "icons"))
    if sheet != app.styleSheet():
        app.setStyleSheet(sheet)


def system_theme_name(app: QApplication) -> ThemeName:
    """The theme that the desktop asks for; dark where it does not say."""
    return "light" if app.styleHints().colorScheme() == Qt.ColorScheme.Light else "dark"


def colour(theme: Theme, token: str, alpha: float = 1.0) -> QColor:
    """A token's colour; `alpha` from 0 (clear) to 1."""
    made = QColor(cast(str, getattr(theme, token)))
    made.setAlphaF(alpha)
    return made


@cache
def load_fonts() -> None:
    """Make the bundled faces known to Qt, once. Raises FileNotFoundError when the installation lacks one."""
    folder = Path(font_manrope.__file__).parent / "files"
    for name in _FONT_FILES:
        if QFontDatabase.addApplicationFontFromData(QByteArray((folder / name).read_bytes())) < 0:
            raise FileNotFoundError(f"{name} cannot be used as a font; install duskwright again")


def ui_font(px: float = BODY_PX, weight: int = 400) -> QFont:
    """The interface face at a size in pixels; weights 400, 500, 600 and 700 are bundled."""
    font = QFont(FAMILY)
    font.setPixelSize(round(px))
    font.setWeight(QFont.Weight(weight))
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def measure_font(px: float = BODY_PX, weight: int = 500) -> QFont:
    """As `ui_font`, with figures of one width, so that a measure does not jump while it changes."""
    font = ui_font(px, weight)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


@cache
def icon(name: str, theme: Theme, token: str = "text") -> QIcon:
    """The line drawing resources/icons/NAME.svg in the token's colour, faint when disabled."""
    made = QIcon()
    for mode, mode_token in ((QIcon.Mode.Normal, token), (QIcon.Mode.Disabled, "faint")):
        svg = tinted_svg(name, theme, mode_token)
        for size_px in _ICON_SIZES_PX:
            made.addPixmap(drawn(svg, QSize(size_px, size_px)), mode)
    return made


def program_icon() -> QIcon:
    """The program's own sign, for the window and the task bar."""
    svg = shipped("resources", "icons", "duskwright.svg").read_bytes()
    made = QIcon()
    for size_px in _PROGRAM_SIZES_PX:
        made.addPixmap(drawn(svg, QSize(size_px, size_px)))
    return made


def tinted_svg(name: str, theme: Theme, token: str) -> bytes:
    """The icon's file with its currentColor set to the token's colour."""
    source = shipped("resources", "icons", f"{name}.svg").read_text(encoding="utf-8")
    return source.replace("currentColor", cast(str, getattr(theme, token))).encode()


def drawn(svg: bytes, size: QSize) -> QPixmap:
    """The SVG at a size in device pixels on a clear ground."""
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    QSvgRenderer(QByteArray(svg)).render(painter, QRectF(0, 0, size.width(), size.height()))
    painter.end()
    return QPixmap.fromImage(image)


def _palette(theme: Theme) -> QPalette:
    palette = QPalette()
    for role, token in _ROLES.items():
        palette.setColor(role, colour(theme, token))
    for role in _ROLES_FAINT_WHEN_DISABLED:
        palette.setColor(QPalette.ColorGroup.Disabled, role, colour(theme, "faint"))
    palette.setColor(QPalette.ColorGroup.Disabled, QPalette.ColorRole.Highlight, colour(theme, "line"))
    return palette
