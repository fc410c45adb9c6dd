"""The job file: what is saved is loaded, the bytes repeat, and a bad file is refused in one sentence."""

import io
import json
import math
import os
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import HealthCheck, given, settings

from layout_core.art.artwork import source_digest
from layout_core.errors import SaveError
from layout_core.geometry.pose import Pose
from layout_core.job import archive, edits, file
from layout_core.job.file import job_bytes, job_digest, job_from_bytes, read_job, write_job
from layout_core.job.model import Job
from tests.core.job.jobs import MOTH, edited_jobs
from tests.core.job.zips import DATA, JOB, members
from tests.make import GLOW, make_artwork

quick = settings(max_examples=50, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


@given(edited_jobs())
@quick
def test_save_then_load_is_the_same_job_and_the_same_bytes(job: Job) -> None:
    data = job_bytes(job)
    loaded = job_from_bytes("x", data)
    assert loaded == job
    assert job_bytes(loaded) == data
    assert job_digest(loaded) == job_digest(job)


def test_a_file_is_written_and_read(tmp_path: Path) -> None:
    path = tmp_path / "moth night ½.duskjob"
    write_job(path, JOB)
    assert read_job(path) == JOB
    assert path.read_bytes() == DATA


def test_the_outline_comes_back_to_the_last_bit() -> None:
    third = make_artwork(shapely.Point(0.1, 1 / 3).buffer(math.pi, quad_segs=7), "third")
    job = edits.add_art(edits.new_job(limits=GLOW), third)
    loaded = job_from_bytes("x", job_bytes(job)).arts[0].artwork
    assert shapely.to_wkb(loaded.outline) == shapely.to_wkb(third.outline)


def test_equal_jobs_give_equal_bytes_whatever_their_numbers_are_made_of() -> None:
    for pose in (Pose(0, 5, 90), Pose(-0.0, 5.0, 90.0)):
        sheet = replace(JOB.sheets[1], placed=(replace(JOB.sheets[1].placed[0], pose=pose),))
        job = replace(JOB, sheets=(JOB.sheets[0], sheet))
        same = replace(sheet.placed[0], pose=Pose(0.0, 5.0, 90.0))
        other = replace(JOB, sheets=(JOB.sheets[0], replace(sheet, placed=(same,))))
        assert job == other
        assert job_bytes(job) == job_bytes(other)


def test_another_process_writes_the_same_bytes() -> None:
    """No clock, no hash seed, no locale in the file."""
    code = (
        "import sys; from tests.core.job.jobs import rich_job; from layout_core.job.file import job_bytes;"
        "sys.stdout.buffer.write(job_bytes(rich_job()))"
    )
    env = {**os.environ, "PYTHONHASHSEED": "12345", "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, env=env)
    assert run.stdout == DATA


def test_windows_writes_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The zip format notes the system that wrote a member, and Python asks sys.platform for it."""
    monkeypatch.setattr(sys, "platform", "win32")
    assert job_bytes(JOB) == DATA


def test_the_layout_of_the_file_is_as_stated() -> None:
    with zipfile.ZipFile(io.BytesIO(DATA)) as opened:
        infos = opened.infolist()
    assert infos[0].filename == "mimetype"
    assert infos[0].compress_type == zipfile.ZIP_STORED
    assert DATA[30:38] == b"mimetype"
    assert DATA[38:66] == b"application/x-duskwright-job"
    assert [info.filename for info in infos[1:]] == sorted(info.filename for info in infos[1:])
    assert {info.date_time for info in infos} == {(1980, 1, 1, 0, 0, 0)}
    assert not any(info.extra for info in infos)
    record = members()["job.json"].decode()
    assert record == json.dumps(json.loads(record), sort_keys=True, indent=1, ensure_ascii=False) + "\n"


def test_the_digest_follows_the_content_and_not_the_packing(monkeypatch: pytest.MonkeyPatch) -> None:
    digest = job_digest(JOB)
    monkeypatch.setattr(archive, "_method", lambda name, data: zipfile.ZIP_STORED)
    assert job_bytes(JOB) != DATA
    assert job_digest(JOB) == digest
    assert job_digest(edits.move_placed(JOB, [11], 0.001, 0.0)) != digest
    assert job_digest(edits.replace_artwork(JOB, 2, make_artwork(name="moth"))) != digest


def test_art_used_twice_is_kept_once() -> None:
    job = edits.add_art(JOB, replace(MOTH, name="the same under another name"))
    assert len(zipfile.ZipFile(io.BytesIO(job_bytes(job))).namelist()) == len(members())


def test_art_that_packs_like_a_bomb_is_stored_and_opens_again() -> None:
    source = b"<svg>" + b" " * 3_000_000 + b"</svg>"
    art = replace(MOTH, source=source, source_digest=source_digest(source))
    job = edits.add_art(edits.new_job(limits=GLOW), art)
    assert job_from_bytes("x", job_bytes(job)) == job


def test_a_job_that_could_not_be_opened_again_is_not_saved(tmp_path: Path) -> None:
    broken = replace(JOB, next_id=3)
    with pytest.raises(SaveError, match="does not hold together: the id"):
        write_job(tmp_path / "a.duskjob", broken)
    with pytest.raises(SaveError):
        job_bytes(replace(JOB, sheets=(replace(JOB.sheets[0], width_mm=math.nan),)))
    assert not list(tmp_path.iterdir())


def test_a_job_beyond_the_limits_of_the_file_is_not_saved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file, "MOST_TOTAL_BYTES", sum(map(len, members().values())) - 29)
    with pytest.raises(SaveError, match="more than a job file holds"):
        job_bytes(JOB)
    monkeypatch.setattr(file, "MOST_TOTAL_BYTES", sum(map(len, members().values())) - 28)
    job_bytes(JOB)  # the mimetype, 28 bytes, does not count
