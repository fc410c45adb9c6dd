"""The looks that only the main window needs, on top of the application's style sheet."""

from dataclasses import asdict
from string import Template

from app.tokens import Theme


def window_style(theme: Theme) -> str:
    """Style sheet text for the main window."""
    return Template(_SHEET).substitute(asdict(theme))


_SHEET = """
QWidget[look="ground"] { background: $back; }
QWidget[look="matte"] { background: $matte; }
QLineEdit[look="job"] { font-size: 15px; font-weight: 700; background: transparent;
  border: 1px solid transparent; }
QLineEdit[look="job"]:hover { border-color: $line; }
QLineEdit[look="job"]:focus { border: 2px solid $accent; background: $raised; }
QFrame[look="divider"] { background: $edge; border: none; }
QPushButton[look="segment"] { padding: 0 4px; min-width: 0; font-size: 12px; }
QFrame[look="rule"] { background: $line; border: none; max-height: 1px; min-height: 1px; }
QFrame[look="start"] { background: $accent_fill; border: none; }
QListView[look="cards"], QListView[look="cards"]:focus { background: transparent; border: none; }
QListView[look="cards"]::item { border: none; padding: 0; }
QPlainTextEdit { border: 1px solid $edge; }
QPlainTextEdit:focus { border: 2px solid $accent; }
QListView[look="boxed"] { background: $raised; border: 1px solid $edge; border-radius: 6px; padding: 3px; }
QListView[look="boxed"]:focus { border: 2px solid $accent; border-radius: 6px; padding: 2px; }
QListView[look="boxed"]::item { border-radius: 6px; padding: 4px 2px; font-size: 12px; }
QTableView[look="table"] { background: $panel; border: 1px solid $line; border-radius: 8px; }
QTableView[look="table"]:focus { border: 2px solid $accent; }
QTableView[look="table"] QHeaderView::section { padding: 6px 11px; }
QTableView[look="table"]::item { padding: 0 8px; }
"""
