"""The one style sheet, built from a theme's tokens, without Qt."""

from dataclasses import asdict
from pathlib import Path
from string import Template

from app.tokens import Theme


def style_sheet(theme: Theme, icons: Path) -> str:
    """The application's style sheet; `icons` is the folder with the marks for check boxes and arrows."""
    names = asdict(theme) | {"icons": icons.as_posix(), "tone": theme.name}
    return _SHEET.substitute(names)


_SHEET = Template("""
QWidget { color: $text; font-size: 13px; }
""")
