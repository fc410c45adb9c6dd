"""Where the user's own files live."""

from pathlib import Path

import pytest

from layout_core.user_folders import OVERRIDE, config_folder, state_folder


def test_one_variable_moves_everything(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(OVERRIDE, str(tmp_path))
    assert config_folder() == tmp_path / "config"
    assert state_folder() == tmp_path / "state"
    assert not list(tmp_path.iterdir()), "asking for a folder must not make it"


def test_without_it_the_system_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(OVERRIDE)
    for folder in (config_folder(), state_folder()):
        assert folder.is_absolute()
        assert "duskwright" in folder.parts
