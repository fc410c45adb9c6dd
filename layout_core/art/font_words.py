"""The sentences about fonts that a drawing asks for, and how a finding gets the name out of them again."""

import re
from collections.abc import Iterable, Sequence

_SHOWN = 40
_MISSING = re.compile(r"The font “([^”]+)” is not on this computer: ")


def missing_note(name: str, words: Sequence[str]) -> str:
    """What is told of text that was left out."""
    first = words[0] if len(words[0]) <= _SHOWN else words[0][: _SHOWN - 1] + "…"
    more = f" and {len(words) - 1} more" if len(words) > 1 else ""
    return (
        f"The font “{name}” is not on this computer: “{first}”{more} was left out. Install the font and add "
        "the file again, or ask for the text turned into outlines."
    )


def usual_note(name: str) -> str:
    """What is told of text that asks for any font, or for one that is not here with any as the next best."""
    if name:
        return f"The font “{name}” is not here; the drawing allows any font in its place, so Manrope is used."
    return "Its text asks for no font by name; Manrope is used."


def only_missing(names: Sequence[str]) -> str:
    """Why a drawing of nothing but such text is refused."""
    shown = ", ".join(f"“{name}”" for name in names[:3])
    return (
        f"prints nothing but words in the font {shown}, which is not on this computer; install it, or ask "
        "for the text turned into outlines"
    )


def missing_fonts(notes: Iterable[str]) -> tuple[str, ...]:
    """The fonts whose text was left out of art with these notes, in order."""
    found = (_MISSING.match(note) for note in notes)
    return tuple(dict.fromkeys(match[1] for match in found if match))
