"""Both sides of every bound of a job: the last value that is taken and the first that is not."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import bounds
from layout_core.job.bounds import (
    MOST_COPIES,
    MOST_GAP_MM,
    MOST_PIECE_MM,
    MOST_RUN,
    MOST_SHEET_MM,
    MOST_TEXT,
    checked_piece,
    checked_pose,
    checked_sheet,
    checked_text,
    checked_total,
)
from tests.core.job.jobs import MOTH, rich_job

PIECE, SHEET = rich_job().pieces[0], rich_job().sheets[0]


def piece(**changes: object) -> Callable[[], object]:
    return lambda: checked_piece(replace(PIECE, **changes), MOTH)  # type: ignore[arg-type]


def sheet(**changes: object) -> Callable[[], object]:
    return lambda: checked_sheet(replace(SHEET, **changes))  # type: ignore[arg-type]


def at(x_mm: float, turn_deg: float = 0.0) -> Callable[[], object]:
    return lambda: checked_pose(Pose(x_mm, 0.0, turn_deg))


TAKEN = {
    "narrowest piece": piece(width_mm=bounds.LEAST_PIECE_MM),
    "widest piece": piece(width_mm=MOST_PIECE_MM),
    "no copies": piece(copies=0),
    "most copies": piece(copies=MOST_COPIES),
    "shortest sheet": sheet(length_mm=bounds.LEAST_SHEET_MM, margin_mm=0.49),
    "longest sheet": sheet(length_mm=MOST_SHEET_MM),
    "no gap": sheet(gap_mm=0.0),
    "negative nought as a gap": sheet(gap_mm=-0.0),
    "widest gap": sheet(gap_mm=MOST_GAP_MM),
    "first run": sheet(run=1),
    "longest run": sheet(run=MOST_RUN),
    "farthest": at(bounds.FARTHEST_MM),
    "farthest to the left": at(-bounds.FARTHEST_MM),
    "largest turn": at(0.0, 1e6),
    "smallest turn": at(0.0, -1e-9),
}
REFUSED = {
    "too narrow a piece": piece(width_mm=math.nextafter(bounds.LEAST_PIECE_MM, 0.0)),
    "too wide a piece": piece(width_mm=math.nextafter(MOST_PIECE_MM, math.inf)),
    "no width": piece(width_mm=0.0),
    "a tiny width": piece(width_mm=1e-9),
    "fewer than no copies": piece(copies=-1),
    "too many copies": piece(copies=MOST_COPIES + 1),
    "half a copy": piece(copies=1.5),
    "yes as copies": piece(copies=True),
    "a sheet of margins": sheet(length_mm=bounds.LEAST_SHEET_MM, margin_mm=0.5),
    "too long a sheet": sheet(length_mm=math.nextafter(MOST_SHEET_MM, math.inf)),
    "less than no gap": sheet(gap_mm=-1e-9),
    "too wide a gap": sheet(gap_mm=MOST_GAP_MM + 1e-6),
    "no run": sheet(run=0),
    "too long a run": sheet(run=MOST_RUN + 1),
    "too far": at(math.nextafter(bounds.FARTHEST_MM, math.inf)),
    "too large a turn": at(0.0, 1e6 + 1.0),
    **{
        f"{value} as {what}": made
        for value in (math.nan, math.inf, -math.inf)
        for what, made in (
            ("a width", piece(width_mm=value)),
            ("a length", sheet(length_mm=value)),
            ("a gap", sheet(gap_mm=value)),
            ("a place", at(value)),
            ("a turn", at(0.0, value)),
        )
    },
}


@pytest.mark.parametrize("name", TAKEN)
def test_the_last_value_within_is_taken(name: str) -> None:
    TAKEN[name]()


@pytest.mark.parametrize("name", REFUSED)
def test_the_first_value_beyond_is_refused_in_one_sentence(name: str) -> None:
    with pytest.raises(LayoutError) as caught:
        REFUSED[name]()
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(("length", "kept"), [(1, 1), (MOST_TEXT, MOST_TEXT), (MOST_TEXT + 1, MOST_TEXT)])
def test_a_name_is_cut_at_its_bound(length: int, kept: int) -> None:
    assert checked_text("é" * length, "a name") == "é" * kept


def test_a_name_of_nothing_is_refused_where_one_is_needed() -> None:
    with pytest.raises(LayoutError, match="must not be empty"):
        checked_text(" \t", "a name")
    assert checked_text(" \t", "a note", may_be_empty=True) == ""


def test_a_total_is_held_at_its_bound() -> None:
    checked_total(bounds.MOST_PLACED, "pieces", bounds.MOST_PLACED)
    with pytest.raises(LayoutError, match="at most 20,000 pieces"):
        checked_total(bounds.MOST_PLACED + 1, "pieces", bounds.MOST_PLACED)
