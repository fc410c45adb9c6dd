"""Every error becomes what, where and what to do, in words without code."""

import errno
import inspect
import re

import pytest

from app.messages import Message, message_for
from layout_core import errors

BANNED = re.compile(r"Errno|Traceback|\bNone\b|0x[0-9a-f]+|<class|Error\b|Exception")


def every_error() -> list[Exception]:
    """One of each class of the tree, so that a new class cannot be forgotten."""
    classes = [
        kind
        for _, kind in inspect.getmembers(errors, inspect.isclass)
        if issubclass(kind, errors.DuskwrightError)
    ]
    made: list[Exception] = []
    for kind in classes:
        is_art = issubclass(kind, errors.ArtError)
        made.append(kind("moth.svg", "holds no shapes") if is_art else kind("moth.duskjob: ends too early"))
    return made


SYSTEM_ERRORS: list[BaseException] = [
    FileNotFoundError(errno.ENOENT, "No such file or directory", "/somewhere/moth.svg"),
    PermissionError(errno.EACCES, "Permission denied", "C:\\Shop\\moth.svg"),
    OSError(errno.ENOSPC, "No space left on device"),
    OSError(),
    MemoryError(),
    KeyError(17),
    ZeroDivisionError("division by zero"),
    RuntimeError("Internal C++ object (None) already deleted. Traceback (most recent call last): …"),
]


@pytest.mark.parametrize("error", [*every_error(), *SYSTEM_ERRORS], ids=lambda error: type(error).__name__)
def test_error_becomes_three_parts_in_plain_words(error: BaseException) -> None:
    message = message_for(error, "opening the job")
    assert message.what
    assert message.where
    assert message.next_step
    assert not BANNED.search(message.text), message.text
    assert "\n" not in message.text
    assert message.text.endswith((".", "!", "…"))


def test_art_error_names_the_file_once() -> None:
    text = message_for(errors.ArtError("moth.svg", "holds no shapes")).text
    assert text.startswith("moth.svg: holds no shapes.")
    assert text.count("moth.svg") == 1


def test_limit_has_another_next_step_than_a_broken_file() -> None:
    plain = message_for(errors.ArtError("moth.svg", "holds no shapes"))
    limit = message_for(errors.ArtLimitError("moth.svg", "holds more than 100,000 shapes"))
    assert plain.next_step != limit.next_step


def test_newer_job_file_asks_for_a_newer_program() -> None:
    message = message_for(
        errors.JobFileNewerError("moth.duskjob: is of format 9, this program reads up to 1")
    )
    assert "newest" in message.next_step


def test_system_error_names_the_file_without_its_folders() -> None:
    assert "moth.svg" in message_for(SYSTEM_ERRORS[0]).text
    assert "somewhere" not in message_for(SYSTEM_ERRORS[0]).text
    assert "Shop" not in message_for(SYSTEM_ERRORS[1]).text


def test_code_words_of_the_system_are_cut_out() -> None:
    message = message_for(errors.SaveError("moth.duskjob: [Errno 28] no space left on device"))
    assert message.what == "moth.duskjob: no space left on device"


def test_endless_text_is_cut() -> None:
    assert len(message_for(errors.LayoutError("x " * 5000)).text) < 400


def test_place_is_added_only_where_the_sentence_lacks_it() -> None:
    assert (
        Message("The piece is locked", "in the job", "Unlock it").text
        == "The piece is locked (in the job). Unlock it."
    )
    assert Message("moth.svg: is empty", "moth.svg", "Add another").text == "moth.svg: is empty. Add another."
