"""Turns an error into words for a person: what happened, where, and what to do next."""

import re
from dataclasses import dataclass

from layout_core import errors

_CODE_WORDS = re.compile(r"\[Errno -?\d+\]\s*|\[WinError \d+\]\s*|Traceback.*", re.DOTALL)
LONGEST_WHAT = 240


@dataclass(frozen=True, slots=True)
class Message:
    """One thing to tell a person; `text` is the whole of it in one or two sentences."""

    what: str
    where: str
    next_step: str

    @property
    def text(self) -> str:
        what = _sentence(self.what)
        if self.where and self.where.lower() not in what.lower():
            what = f"{what[:-1]} ({self.where})."
        return f"{what} {_sentence(self.next_step)}" if self.next_step else what


def message_for(error: BaseException, doing: str = "") -> Message:
    """The message for an error that came up while `doing` something, e.g. "opening the job"."""
    if isinstance(error, errors.ArtError):
        return Message(f"{error.file_name}: {error.reason}", error.file_name, _ART_STEPS[type(error)])
    for kind, where, next_step in _STEPS:
        if isinstance(error, kind):
            return Message(_clean(str(error)), where or doing, next_step)
    if isinstance(error, OSError):
        return _system_message(error, doing)
    if isinstance(error, MemoryError):
        return Message(
            "There is not enough memory for this",
            doing,
            "Close other programs or split the job, then try again",
        )
    return Message(
        "Something went wrong inside Duskwright", doing, "The job is as it was. Save it, then try once more"
    )


_ART_STEPS = {
    errors.ArtError: "Export the art again as a plain SVG or a PNG and add that file",
    errors.ArtLimitError: "Simplify the art, or export it as a PNG at 300 dpi, and add that file",
}

_STEPS: tuple[tuple[type[Exception], str, str], ...] = (
    (errors.UnitsError, "", "Type the length once more"),
    (errors.JobFileNewerError, "", "Install the newest Duskwright to open it"),
    (errors.JobFileError, "", "Open another copy of the job, or restore a snapshot"),
    (errors.HandOffError, "", "Mend it, or change how the files are made, then hand off again"),
    (errors.SaveError, "", "Save the job under another name or in another folder"),
    (errors.TableError, "", "Mend that line, or delete the file to get the shipped one back"),
    (errors.InkMapError, "", "Name a colour that the art has, and let at least one print"),
    (errors.LetteringError, "", "Change the words, the font or the figures"),
    (errors.NameListError, "", "Mend the list and read it again"),
    (errors.OrderListError, "", "Mend that row and read the lines again"),
    (errors.PlanError, "", "Change the order, the sheet or the number of sheet designs, then plan again"),
    (errors.GlowError, "", "Correct that value; the ink and the venue stay as they were"),
    (errors.LayoutError, "in the job", "The job is as it was"),
    (errors.DuskwrightError, "", "Check the input and try again"),
)


def _system_message(error: OSError, doing: str) -> Message:
    name = str(error.filename or "")
    where = re.split(r"[\\/]", name)[-1] or doing
    reason = (error.strerror or "the system refused it").lower()
    if isinstance(error, FileNotFoundError):
        return Message(f"{where} is not there any more", where, "Look for it in another folder")
    if isinstance(error, PermissionError):
        return Message(
            f"{where} may not be used ({reason})",
            where,
            "Choose a folder that is yours, or change its rights",
        )
    return Message(f"{where} cannot be used ({reason})", where, "Try again, or choose another folder")


def _clean(text: str) -> str:
    """The text without what only a programmer reads, on one line."""
    plain = " ".join(_CODE_WORDS.sub("", text).split())
    return plain if len(plain) <= LONGEST_WHAT else f"{plain[: LONGEST_WHAT - 1]}…"


def _sentence(text: str) -> str:
    """The text with a full stop, and a capital unless it begins with a file's name or a quotation."""
    trimmed = text.strip()
    if trimmed.split(" ")[0].isalpha():
        trimmed = trimmed[:1].upper() + trimmed[1:]
    return trimmed if trimmed.endswith((".", "!", "?", "…")) else f"{trimmed}."
