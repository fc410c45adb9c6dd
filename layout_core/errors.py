"""The whole exception tree. A message states what was found, what was expected, and where."""

import unicodedata

_UNSEEN = frozenset({"Cc", "Cf", "Zl", "Zp", "Cs", "Co", "Cn"})
"""Unicode categories of signs that break, hide or turn around a line of text."""
LONGEST = 600
"""So many signs of a refusal are shown; what quotes more of a stranger's file is cut. Invented."""


def one_line(text: str) -> str:
    """The text without line breaks, control and direction signs: what a stranger's file says may be shown."""
    if text.isprintable():
        return text
    plain = (" " if sign in "\n\r\t\v\f\u0085\u2028\u2029" else sign for sign in text)
    return "".join(sign for sign in plain if unicodedata.category(sign) not in _UNSEEN)


class DuskwrightError(Exception):
    """Anything the program refuses; its text is one sentence fit for a person, whatever words it quotes."""

    def __str__(self) -> str:
        words = one_line(super().__str__())
        return words if len(words) <= LONGEST else f"{words[: LONGEST - 1]}…"


class UnitsError(DuskwrightError, ValueError):
    """A length that cannot be read."""


class ArtError(DuskwrightError):
    """An art file that cannot be used; `file_name` says which.

    The text already names the file and the reason.
    """

    def __init__(self, file_name: str, reason: str) -> None:
        super().__init__(f"{file_name}: {reason}")
        self.file_name = file_name
        self.reason = reason

    def __reduce__(self) -> tuple[type["ArtError"], tuple[str, str]]:
        return type(self), (self.file_name, self.reason)


class ArtLimitError(ArtError):
    """The file is larger, deeper or slower than the program allows."""


class LetteringError(DuskwrightError):
    """Words, a font or figures that cannot become lettering or a stock shape; names what is in the way.

    `about` says whose fault it is: "words", "font", "bend", or "" for anything else.
    """

    def __init__(self, text: str, about: str = "") -> None:
        super().__init__(text)
        self.about = about


class InkMapError(DuskwrightError):
    """An ink map that no art could have, or a colour that the art does not have."""


class RepairError(DuskwrightError):
    """A repair that makes no sense, or that would leave nothing of the art."""


class NameListError(DuskwrightError):
    """A list of names that cannot be used; names the file, and the row where one is at fault."""


class OrderListError(DuskwrightError):
    """Pasted or read order lines that cannot be used; names the row and the column at fault."""


class PlanError(DuskwrightError):
    """Orders, sheets or prices from which no run plan can be made; names the line that makes it so."""


class GlowError(DuskwrightError):
    """Light, ink or venue figures from which no visibility can be worked out; says which value and why."""


class LayoutError(DuskwrightError):
    """An edit that the job cannot take; the job stays as it was."""


class TableError(DuskwrightError):
    """A TOML table (placements, print limits, …) with a mistake; names file and line."""


class JobFileError(DuskwrightError):
    """A job file that is broken, hostile or not a job file at all."""


class JobFileNewerError(JobFileError):
    """A job file written by a later version of the program."""


class HandOffError(DuskwrightError):
    """An output or a hand-off that cannot be made from this job; names what is in the way."""


class SaveError(DuskwrightError):
    """A file that could not be written; what stood there before is untouched."""


class Cancelled(Exception):
    """Stop was pressed. Neither an error nor a finding: it ends the work in silence."""
