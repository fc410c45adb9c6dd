"""The command pack: both engines, the wishes, the shortest sheet, and what no sheet can hold."""

import json
from pathlib import Path

import pytest

from layout_core.job import edits
from layout_core.job.file import read_job, write_job
from tests.app.command_folder import Run, one_line_error, small_job


def test_what_no_sheet_can_hold_is_named_with_its_size(run: Run) -> None:
    result = run("pack", "night.duskjob", "--engine", "shapes", "--seconds", "0.2")
    assert result.exit_code == 0
    assert "Too large for every sheet within its margins: giant (5.118 x 3.839 in)" in result.stderr
    assert "moth" not in result.stderr
    assert "no room for 2 x giant" in result.stdout


@pytest.mark.parametrize(
    "options",
    [
        ("--engine", "boxes"),
        ("--engine", "shapes", "--no-holes"),
        ("--engine", "shapes", "--any-angle"),
        ("--straight-cuts",),
    ],
)
def test_every_way_lays_what_fits(run: Run, options: tuple[str, ...]) -> None:
    document = json.loads(run("pack", "night.duskjob", "--json", "--seconds", "0.2", *options).stdout)
    (sheet,) = document["sheets"]
    assert [piece["piece"] for piece in sheet["pieces"]] == ["moth"] * 3
    assert sheet["smallest_gap_mm"] >= 5.0 - 1e-4


def test_the_shortest_sheet_is_shorter_and_holds_the_same(run: Run, tmp_path: Path) -> None:
    job = edits.change_piece(small_job(), 6, copies=0)
    write_job(tmp_path / "long.duskjob", edits.change_sheet(job, 1, length_mm=1000.0, width_mm=285.75))
    result = run("pack", "long.duskjob", "--shortest", "--seconds", "1", "--out", "short.duskjob")
    assert result.exit_code == 0, result.stderr
    short = read_job(tmp_path / "short.duskjob")
    assert short.copies_placed(5) == 3
    assert short.sheets[0].length_mm == pytest.approx(short.limits.sheet_length_least_mm)


def test_any_angle_without_true_outlines_is_refused(run: Run) -> None:
    one_line_error(run("pack", "night.duskjob", "--any-angle"), "--any-angle", "shapes")


@pytest.mark.parametrize("seconds", ["0", "-1", "nan", "1e9", "soon"])
def test_a_time_that_is_none_is_refused(run: Run, seconds: str) -> None:
    one_line_error(run("pack", "night.duskjob", "--seconds", seconds), "--seconds")
