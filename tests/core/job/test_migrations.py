"""Older job files: each format that was ever written is read for good."""

import copy
import json
import shutil
import zipfile
from pathlib import Path

import pytest

from layout_core.art.lettering import Lettering
from layout_core.art.stock import stock_shape
from layout_core.errors import JobFileError, JobFileNewerError
from layout_core.geometry.pose import Pose
from layout_core.job.file import job_digest, read_job
from layout_core.job.migrations import FORMAT, STEPS, Record, migrated

JOBS = Path(__file__).parents[2] / "data" / "jobs"
"""One frozen file a format, never written again: see the note beside them."""


def test_there_is_a_step_from_every_format_and_a_frozen_file_of_each() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT))
    assert sorted(path.name for path in JOBS.glob("*.duskjob")) == [
        f"format-{number}.duskjob" for number in range(1, FORMAT + 1)
    ]


def test_the_frozen_job_of_format_1_is_read_with_everything_in_it(tmp_path: Path) -> None:
    path = tmp_path / "old.duskjob"
    shutil.copy(JOBS / "format-1.duskjob", path)
    job = read_job(path)
    assert (job.name, job.revision, job.garment_colour, job.ink_name) == ("Moth night", 1, "black", "Glow")
    assert [(art.art_id, art.artwork.name) for art in job.arts] == [(2, "moth"), (3, "lantern ring")]
    assert [(piece.piece_id, piece.name, piece.order_id) for piece in job.pieces] == [
        (6, "moth", 4), (7, "lantern ring", 5), (8, "spare ring", None)
    ]  # fmt: skip
    assert [piece.filler for piece in job.pieces] == [False, False, True]
    assert job.order(4).lines[0].sizes == (("M", 2), ("L", 1))
    assert job.placed(12).pose == Pose(120.5, 60.25, 90.0)
    assert job.placed(12).locked
    assert [waiver.who for waiver in job.waivers] == ["Ada at the press"]
    assert job.limits.piece_gap_mm == pytest.approx(6.35)
    assert job.next_id == 14
    with zipfile.ZipFile(path) as opened:
        assert json.loads(opened.read("job.json"))["format"] == 1
    assert path.read_bytes() == (JOBS / "format-1.duskjob").read_bytes(), "only the user's own save may write"


def test_the_frozen_job_of_format_2_holds_lettering_and_a_stock_shape() -> None:
    """Made of `rich_job()`, two words bent by 30 degrees and a star with six points."""
    job = read_job(JOBS / "format-2.duskjob")
    words, star = job.art(14), job.art(15)
    assert words.lettering == Lettering("MOTH\nNIGHT", cap_height_mm=20.0, bend_deg=30.0)
    assert words.artwork.name == "MOTH NIGHT"
    assert star.stock == stock_shape("star", points=6)
    assert job.art(2).lettering is None
    assert job.art(2).stock is None
    if FORMAT == 2:
        assert job_digest(job) == "b6c399926b0b1723b4685b4a429ae973b4eb3616c8792481197a3733df8ed35b"


def test_steps_are_taken_one_after_the_other() -> None:
    """The table of three formats is this test's own."""

    def to_two(record: Record) -> Record:
        return {**record, "colour": record["color"]}

    def to_three(record: Record) -> Record:
        return {key: value for key, value in record.items() if key != "color"}

    old = {"format": 1, "color": "black"}
    kept = copy.deepcopy(old)
    steps = {1: to_two, 2: to_three}
    assert migrated("n", old, steps, newest=3) == {"format": 3, "colour": "black"}
    assert old == kept
    middle = {"format": 2, "color": "x", "colour": "navy"}
    assert migrated("n", middle, steps, newest=3) == {"format": 3, "colour": "navy"}
    newest = {"format": 3, "colour": "navy"}
    assert migrated("n", newest, steps, newest=3) == newest


def test_an_old_record_that_a_step_cannot_read_is_refused() -> None:
    def step(record: Record) -> Record:
        return {"name": record["pieces"][0]["name"].strip()}

    for record in ({}, {"pieces": []}, {"pieces": None}, {"pieces": [{"name": 1}]}, {"pieces": "x"}):
        with pytest.raises(JobFileError, match="n: is broken inside its format 1 record"):
            migrated("n", {"format": 1, **record}, {1: step}, newest=2)


@pytest.mark.parametrize("number", [None, True, "1", 1.0, 0, -1, [1]])
def test_a_format_that_never_was_is_refused(number: object) -> None:
    with pytest.raises(JobFileError, match="states no format number"):
        migrated("n", {"format": number})


@pytest.mark.parametrize("number", [FORMAT + 1, 10**40])
def test_a_later_format_is_not_guessed_at(number: int) -> None:
    with pytest.raises(JobFileNewerError, match="update the program to open it") as caught:
        migrated("n", {"format": number})
    assert len(str(caught.value)) < 150
