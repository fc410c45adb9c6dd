"""The colours and faces the canvas paints with, made once a theme and way of looking."""

from dataclasses import dataclass, replace

from PySide6.QtGui import QBrush, QColor, QFont

from app.theme import SMALL_PX, colour, measure_font, ui_font
from app.tokens import Theme, theme_named
from app.viewing import View
from layout_core.checks.findings import Severity
from layout_core.glow.appearance import garment_look
from layout_core.glow.colour import hex_of

CARRIED_OPACITY = 0.6
"""What is carried shows what it covers."""

DARK_MATTE, DARK_FILM, DARK_EDGE = "#030405", "#07090A", "#2C333A"
"""Lights out, in either theme: the sheet just stands out from the room, and takes no light from the glow."""


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
    view: View = "carrier"

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


def look_in_view(theme: Theme, view: View, garment_colour: str) -> Look:
    """The look of the theme for a way of looking at sheets whose pieces go on that cloth."""
    if view == "garment":
        day = garment_look(garment_colour)
        film, ink = QColor(hex_of(day.ground)), QBrush(QColor(hex_of(day.ink)))
        return replace(look_of(theme), film=film, ink=ink, view=view)
    if view == "dark":
        return replace(
            look_of(theme_named("dark")),
            matte=QColor(DARK_MATTE),
            film=QColor(DARK_FILM),
            film_edge=QColor(DARK_EDGE),
            view=view,
        )
    return look_of(theme)
