"""Choices are kept, and a broken file costs only what is broken in it."""

import json
import os
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.settings import FILE_NAME, MOST_RECENT_JOBS, Choices, Settings, read_choices
from layout_core.user_folders import config_folder

pytestmark = pytest.mark.gui


@pytest.fixture
def file(qapp: QApplication) -> Path:
    config_folder().mkdir(parents=True, exist_ok=True)
    return config_folder() / FILE_NAME


def test_first_start_has_defaults_and_writes_nothing(file: Path) -> None:
    settings = Settings()
    assert settings.theme == "system"
    assert settings.unit in ("in", "mm")
    assert settings.snapping
    assert settings.motion
    assert settings.recent_jobs == ()
    assert not file.exists()


@pytest.mark.parametrize(
    ("place", "unit"),
    [
        ((QLocale.Language.English, QLocale.Country.UnitedStates), "in"),
        ((QLocale.Language.English, QLocale.Country.UnitedKingdom), "in"),
        ((QLocale.Language.German, QLocale.Country.Germany), "mm"),
        ((QLocale.Language.C, QLocale.Country.AnyCountry), "in"),
    ],
)
def test_first_start_measures_as_the_country_does(
    file: Path, monkeypatch: pytest.MonkeyPatch, place: tuple[QLocale.Language, QLocale.Country], unit: str
) -> None:
    monkeypatch.setattr(QLocale, "system", lambda: QLocale(*place))
    assert Settings().unit == unit


def test_choices_outlive_the_program(qtbot: QtBot, file: Path) -> None:
    settings = Settings()
    with qtbot.waitSignal(settings.changed):
        settings.change(unit="mm", theme="light", snapping=False, splitters={"left": "AAAA"})
    again = Settings()
    assert again.choices == settings.choices
    assert (again.unit, again.theme, again.snapping) == ("mm", "light", False)


def test_choosing_the_same_again_tells_and_writes_nothing(qtbot: QtBot, file: Path) -> None:
    settings = Settings()
    with qtbot.assertNotEmitted(settings.changed):
        settings.change(theme="system")
    assert not file.exists()


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"null", b"[1, 2]", b"\xff\xfe\x00", b'"x"', b"[" * 5000, b"{}" + b" " * 2_000_000 + b"x"],
)
def test_broken_file_gives_defaults(file: Path, content: bytes) -> None:
    file.write_bytes(content)
    assert read_choices(file) == Choices(unit=read_choices(file.with_name("none.json")).unit)


def test_one_broken_choice_costs_only_itself(file: Path) -> None:
    file.write_text(
        json.dumps({"theme": "purple", "unit": "mm", "recent_jobs": 5, "motion": False, "extra": 1})
    )
    choices = read_choices(file)
    assert (choices.theme, choices.unit, choices.motion, choices.recent_jobs) == ("system", "mm", False, ())


def test_file_that_is_a_folder_gives_defaults(file: Path) -> None:
    file.mkdir()
    assert Settings().theme == "system"


def test_recent_jobs_come_newest_first_and_once(file: Path, tmp_path: Path) -> None:
    settings = Settings()
    paths = [tmp_path / f"{number}.duskjob" for number in range(MOST_RECENT_JOBS + 3)]
    for path in (*paths, paths[5]):
        settings.remember_job(path)
    assert MOST_RECENT_JOBS >= 10
    assert len(settings.recent_jobs) == MOST_RECENT_JOBS
    assert settings.recent_jobs[:3] == (paths[5], paths[-1], paths[-2])
    settings.forget_job(paths[5])
    assert Settings().recent_jobs[0] == paths[-1]


def test_choice_that_cannot_be_written_still_counts(qtbot: QtBot, file: Path) -> None:
    settings = Settings()
    file.mkdir()
    with qtbot.waitSignal(settings.not_saved) as told:
        settings.change(theme="dark")
    assert settings.theme == "dark"
    assert FILE_NAME in told.args[0]
    assert "Errno" not in told.args[0]


@pytest.mark.skipif(os.name != "posix", reason="folders cannot be made unwritable this way on Windows")
def test_user_folder_that_is_a_file_does_not_stop_the_start(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    monkeypatch.setenv("DUSKWRIGHT_USER_DIR", str(blocked))
    settings = Settings()
    with qtbot.waitSignal(settings.not_saved):
        settings.change(theme="dark")
    assert settings.theme == "dark"


def test_unknown_choice_is_a_programming_error(file: Path) -> None:
    with pytest.raises(TypeError):
        Settings().change(colour="red")
