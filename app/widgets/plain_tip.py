"""Tool tips that quote what a file says: shown literally, whatever it looks like."""

import html

from PySide6.QtGui import Qt


def plain_tip(text: str) -> str:
    """The text for a tool tip. Qt takes what looks like markup for markup and would load its pictures."""
    if not Qt.mightBeRichText(text):
        return text
    return f"<span>{html.escape(text)}</span>".replace("\n", "<br>")
