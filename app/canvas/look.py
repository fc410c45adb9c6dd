"""The colours and faces the canvas paints with, made once a theme."""

from dataclasses import dataclass

from PySide6.QtGui import QBrush, QColor, QFont

from app.theme import SMALL_PX, colour, measure_font, ui_font
from app.tokens import Theme
from layout_core.checks.findings import Severity

CARRIED_OPACITY = 0.6
"""What is carried shows what it covers."""


@dataclass(frozen=True, slots=True)
class Look:
    """Ready brushes and fonts; the theme stays at hand for marks."""

    theme: Theme
    matte: QColor
    film: QColor
    film_edge: QColor
    ink: QBrush
    carried_ink: QBrush
    text: QColor
    muted: QColor
    accent: QColor
    casing: QColor
    raised: QColor
    line: QColor
    name_font: QFont
    small_font: QFont
    figure_font: QFont

    def of_severity(self, severity: Severity) -> QColor:
        return QColor({Severity.STOP: self.theme.stop, Severity.CAUTION: self.theme.caution}.get(
            severity, self.theme.note
        ))  # fmt: skip


def look_of(theme: Theme) -> Look:
    """The look of a theme; needs a running QGuiApplication with the fonts loaded."""
    return Look(
        theme=theme,
        matte=colour(theme, "matte"),
        film=colour(theme, "film"),
        film_edge=colour(theme, "film_edge"),
        ink=QBrush(colour(theme, "ink")),
        carried_ink=QBrush(colour(theme, "accent", CARRIED_OPACITY)),
        text=colour(theme, "text"),
        muted=colour(theme, "muted"),
        accent=colour(theme, "accent"),
        casing=colour(theme, "casing"),
        raised=colour(theme, "raised"),
        line=colour(theme, "line"),
        name_font=ui_font(14.0, 600),
        small_font=measure_font(SMALL_PX, 500),
        figure_font=measure_font(11.0, 500),
    )
