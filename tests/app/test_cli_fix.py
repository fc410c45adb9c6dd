"""The command that repairs art: what is written, what is said, and what is refused."""

import json
from pathlib import Path

import pytest

from layout_core.art.intake import read_art
from layout_core.geometry.thickness import sustained_width_mm
from layout_core.units import mm
from tests.app.command_folder import Run, one_line_error


def test_what_is_too_thin_passes_once_it_is_thickened(run: Run, tmp_path: Path) -> None:
    assert run("check", "thin.svg", "--width", "40mm").exit_code == 1
    result = run("check", "thin.svg", "--width", "40mm", "--fix", "thicken", "-o", "fixed.svg", "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert document["repairs"] == ["Thickened 1 thin place to 0.02 in"]
    assert document["findings"] == []
    fixed = read_art(tmp_path / "fixed.svg")
    assert sustained_width_mm(fixed.outline, mm(0.0199)) is None
    assert run("check", "fixed.svg", "--width", "40mm").exit_code == 0


def test_people_are_told_what_was_done(run: Run) -> None:
    result = run("check", "thin.svg", "--width", "40mm", "--fix", "all")
    assert "note     Thickened 1 thin place to 0.02 in" in result.stdout


def test_sound_art_is_written_as_it_is(run: Run, tmp_path: Path) -> None:
    plain = run("check", "block.svg", "--width", "4in", "-o", "plain.svg", "--json")
    fixed = run("check", "block.svg", "--width", "4in", "--fix", "all", "-o", "fixed.svg", "--json")
    assert (tmp_path / "plain.svg").read_bytes() == (tmp_path / "fixed.svg").read_bytes()
    assert json.loads(fixed.stdout) == {**json.loads(plain.stdout), "repairs": []}


@pytest.mark.parametrize("words", ["polish", "thicken,polish", "", ","])
def test_a_repair_that_there_is_not_is_refused_with_those_there_are(run: Run, words: str) -> None:
    one_line_error(run("check", "thin.svg", "--width", "40mm", f"--fix={words}"), "--fix", "pinholes")


def test_art_of_which_nothing_would_be_left_is_refused(run: Run) -> None:
    one_line_error(run("check", "block.svg", "--width", "0.1mm", "--fix", "specks"), "nothing would be left")
