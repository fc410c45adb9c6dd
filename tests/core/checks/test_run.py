"""A check runs again only for what an edit touched."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from layout_core.checks import art, run
from layout_core.checks.cache import Remembered
from layout_core.checks.run import CheckCache, check_job, piece_report
from layout_core.errors import Cancelled
from layout_core.geometry.pose import Pose
from layout_core.job.edits import move_placed
from layout_core.job.model import Job
from layout_core.progress import StopFlag
from layout_core.units import mm
from tests.core.checks.shapes import with_whisker
from tests.make import make_artwork, make_job

Counts = dict[str, int]


@pytest.fixture
def counts(monkeypatch: pytest.MonkeyPatch) -> Counts:
    """How often the costly checks have run."""
    counted: Counts = {"lines": 0, "gaps": 0, "spacing": 0, "bounds": 0}

    def counting(name: str, check: Callable[..., Any]) -> Callable[..., Any]:
        def counted_check(*args: Any) -> Any:
            counted[name] += 1
            return check(*args)

        return counted_check

    for module, function, name in (
        (art, "line_findings", "lines"),
        (art, "gap_findings", "gaps"),
        (run, "spacing_findings", "spacing"),
        (run, "bounds_findings", "bounds"),
    ):
        monkeypatch.setattr(module, function, counting(name, getattr(module, function)))
    return counted


def job_of_two_sheets() -> Job:
    job = make_job(
        [make_artwork(with_whisker(0.012), "lantern"), make_artwork()],
        poses=[(0, Pose(60, 60)), (1, Pose(200, 60))],
    )
    second = replace(job.sheets[0], sheet_id=2, name="Sheet B", placed=())
    return replace(job, sheets=(job.sheets[0], second))


def test_moving_a_copy_runs_only_the_checks_of_its_sheet(counts: Counts) -> None:
    job, cache = job_of_two_sheets(), CheckCache()
    check_job(job, cache)
    assert counts == {"lines": 2, "gaps": 2, "spacing": 2, "bounds": 2}
    check_job(move_placed(job, [301], 5.0, 0.0), cache)
    assert counts == {"lines": 2, "gaps": 2, "spacing": 3, "bounds": 3}


def test_nothing_runs_again_for_the_same_job(counts: Counts) -> None:
    job, cache = job_of_two_sheets(), CheckCache()
    first = check_job(job, cache)
    before = dict(counts)
    assert check_job(job, cache) == first
    assert counts == before


def test_another_width_runs_the_checks_of_that_piece(counts: Counts) -> None:
    job, cache = job_of_two_sheets(), CheckCache()
    check_job(job, cache)
    wider = replace(job.pieces[0], width_mm=job.pieces[0].width_mm * 2)
    check_job(replace(job, pieces=(wider, job.pieces[1])), cache)
    assert (counts["lines"], counts["gaps"]) == (3, 3)


def test_other_limits_run_everything(counts: Counts) -> None:
    job, cache = job_of_two_sheets(), CheckCache()
    check_job(job, cache)
    check_job(replace(job, limits=replace(job.limits, line_caution_mm=mm(0.03))), cache)
    assert (counts["lines"], counts["spacing"]) == (4, 4)


def test_a_stale_answer_is_never_given_for_changed_art() -> None:
    job, cache = job_of_two_sheets(), CheckCache()
    assert [f.rule for f in check_job(job, cache)] == ["line_weight"]
    mended = replace(job.arts[0], artwork=make_artwork(with_whisker(0.03), "lantern"))
    assert check_job(replace(job, arts=(mended, job.arts[1])), cache) == ()


def test_two_pieces_of_one_art_and_width_share_the_work_but_not_the_name(counts: Counts) -> None:
    job = job_of_two_sheets()
    twin = replace(job.pieces[0], piece_id=150, filler=True)
    found = check_job(replace(job, pieces=(*job.pieces, twin)), CheckCache())
    assert counts["lines"] == 2
    assert [finding.piece_id for finding in found if finding.rule == "line_weight"] == [101, 150]


def test_the_report_of_a_piece_names_the_piece() -> None:
    job = job_of_two_sheets()
    assert {finding.piece_id for finding in piece_report(job, job.pieces[0]).findings} == {101}


def test_an_empty_job_has_no_findings() -> None:
    assert check_job(replace(make_job(), sheets=())) == ()


def test_progress_rises_and_ends_at_all() -> None:
    fractions: list[float] = []
    check_job(job_of_two_sheets(), progress=lambda fraction, label: fractions.append(fraction))
    assert fractions == sorted(fractions)
    assert fractions[-1] == 1.0


def test_stop_lets_cancelled_through_and_remembers_nothing_half_done(counts: Counts) -> None:
    flag, cache = StopFlag(), CheckCache()
    flag.stop()
    with pytest.raises(Cancelled):
        check_job(job_of_two_sheets(), cache, flag.tick)
    assert check_job(job_of_two_sheets(), cache) == check_job(job_of_two_sheets())


def test_the_oldest_answers_are_forgotten_first() -> None:
    made: list[str] = []

    def make(name: str) -> Callable[[], str]:
        def now() -> str:
            made.append(name)
            return name

        return now

    remembered: Remembered[str] = Remembered(2)
    for name in ("a", "b", "a", "c", "a", "b"):
        assert remembered.get(name, make(name)) == name
    assert made == ["a", "b", "c", "b"]
