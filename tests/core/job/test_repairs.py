"""Repairs in a job: done to the art as it came, saved with it, taken back whole."""

import json
import zipfile
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO

import pytest
import shapely

from layout_core.art.repair import Repair, repaired
from layout_core.errors import JobFileError, LayoutError
from layout_core.job.edits import repair_art, undo_repairs, waive
from layout_core.job.edits_repair import is_done, repairs_with, stronger, unrepaired
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job
from layout_core.units import mm
from tests.make import make_artwork, make_job

WIDTH_MM = 40.0
THICKEN = Repair("thicken", mm(0.020), WIDTH_MM)
SOLID = Repair("solid", 0.0, WIDTH_MM)


def fine_job() -> Job:
    """A job with one art, id 201: a ring drawn 0.2 mm thick, 40 mm wide."""
    circle = shapely.Point(20, 20).buffer(20, quad_segs=32)
    ring = circle.difference(shapely.Point(20, 20).buffer(19.8, quad_segs=32))
    return make_job([make_artwork(ring, "ring")])


def test_the_repaired_art_is_printed_and_the_art_as_it_came_is_kept() -> None:
    job = fine_job()
    done = repair_art(job, 201, [THICKEN])
    art = done.art(201)
    assert art.repairs == (THICKEN,)
    assert art.original == job.art(201).artwork
    assert art.artwork.outline.area > 2.0 * job.art(201).artwork.outline.area
    assert art.artwork.notes == ("Thickened 1 thin place to 0.02 in",)


def test_a_second_repair_is_done_to_the_art_as_it_came() -> None:
    both = repair_art(repair_art(fine_job(), 201, [THICKEN]), 201, [SOLID])
    at_once = repair_art(fine_job(), 201, [SOLID, THICKEN])
    assert both == at_once
    assert [repair.kind for repair in both.art(201).repairs] == ["solid", "thicken"]
    assert both.art(201).original == fine_job().art(201).artwork


def test_of_one_kind_the_new_repair_counts() -> None:
    thicker = replace(THICKEN, limit_mm=mm(0.030))
    job = repair_art(repair_art(fine_job(), 201, [THICKEN]), 201, [thicker])
    assert job.art(201).repairs == (thicker,)


def test_undoing_gives_back_the_very_job() -> None:
    job = fine_job()
    assert undo_repairs(repair_art(job, 201, [THICKEN]), 201) == job
    with pytest.raises(LayoutError, match="has not been repaired"):
        undo_repairs(job, 201)


def test_where_nothing_is_thin_the_job_stays_the_same_object() -> None:
    job = make_job([make_artwork()])
    assert repair_art(job, 201, [THICKEN]) is job


def test_artwork_made_elsewhere_is_taken_as_it_is() -> None:
    art = fine_job().art(201)
    made = repaired(unrepaired(art), repairs_with(art, [THICKEN]))
    assert repair_art(fine_job(), 201, [THICKEN], made) == repair_art(fine_job(), 201, [THICKEN])


def test_a_piece_keeps_its_width_unless_its_edge_fell_away() -> None:
    assert repair_art(fine_job(), 201, [THICKEN]).piece(101).width_mm == WIDTH_MM
    dotted = shapely.union(shapely.box(0, 0, 20, 20), shapely.box(39.8, 0, 40, 0.2))
    job = make_job([make_artwork(dotted, "dotted")])
    left = repair_art(job, 201, [Repair("specks", mm(0.030), WIDTH_MM)])
    assert left.piece(101).width_mm == pytest.approx(20.0), "the block stays as large as it was"


def test_what_a_person_accepted_of_the_old_shapes_is_asked_again() -> None:
    job = waive(fine_job(), "line_weight:piece101::0.20", "Ada", "wanted")
    assert repair_art(job, 201, [THICKEN]).waivers == ()


@pytest.mark.parametrize(
    "wrong",
    [
        Repair("polish", 0.5, 40.0),  # type: ignore[arg-type]
        Repair("thicken", 0.0, 40.0),
        Repair("thicken", float("nan"), 40.0),
        Repair("open", 0.5, -1.0),
        Repair("open", 0.5, 40.0, -0.1),
    ],
)
def test_a_repair_that_makes_no_sense_is_refused(wrong: Repair) -> None:
    with pytest.raises(LayoutError):
        repair_art(fine_job(), 201, [wrong])


def test_a_repair_that_would_leave_nothing_is_refused() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, 1, 1), "dot")])
    with pytest.raises(LayoutError, match="nothing would be left"):
        repair_art(job, 201, [Repair("specks", 2.0, 1.0)])


def test_repairs_come_back_from_the_job_file_with_the_art_as_it_came() -> None:
    job = repair_art(fine_job(), 201, [THICKEN, Repair("open", mm(0.028), WIDTH_MM, mm(0.020))])
    again = job_from_bytes("ring.duskjob", job_bytes(job))
    assert again == job
    assert again.art(201).original == fine_job().art(201).artwork
    assert job_bytes(again) == job_bytes(job)
    assert undo_repairs(again, 201) == fine_job()


def _wrong_kind(art: dict[str, object]) -> None:
    art["repairs"] = [{"kind": "polish", "limit_mm": 1.0, "at_width_mm": 40.0, "keep_mm": 0.0}]


def _no_original(art: dict[str, object]) -> None:
    del art["original"]


def _twice(art: dict[str, object]) -> None:
    repairs = art["repairs"]
    assert isinstance(repairs, list)
    art["repairs"] = repairs * 2


def _too_wide(art: dict[str, object]) -> None:
    art["repairs"] = [{"kind": "thicken", "limit_mm": 5000.0, "at_width_mm": 40.0, "keep_mm": 0.0}]


@pytest.mark.parametrize("spoil", [_wrong_kind, _no_original, _twice, _too_wide])
def test_a_job_file_with_repairs_that_no_edit_made_is_refused(
    spoil: Callable[[dict[str, object]], None],
) -> None:
    members = _members(job_bytes(repair_art(fine_job(), 201, [THICKEN])))
    record = json.loads(members["job.json"])
    spoil(record["arts"][0])
    members["job.json"] = json.dumps(record).encode()
    with pytest.raises(JobFileError):
        job_from_bytes("ring.duskjob", _zip(members))


def test_a_job_without_repairs_says_nothing_of_them() -> None:
    record = json.loads(_members(job_bytes(fine_job()))["job.json"])
    assert not {"repairs", "original"} & record["arts"][0].keys()


def _members(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _zip(members: dict[str, bytes]) -> bytes:
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def test_of_a_kind_done_before_the_stronger_repair_stays() -> None:
    artwork = make_artwork(shapely.union(shapely.box(0, 0, 40, 30), shapely.box(0, 40, 40, 40.3)))
    job = make_job([artwork])
    strong = Repair("thicken", 0.6, 20.0)
    repaired_job = repair_art(job, 201, [strong])
    (asked,) = stronger(repaired_job.art(201), [Repair("thicken", 0.6, 40.0)])
    assert asked == strong
    (more,) = stronger(repaired_job.art(201), [Repair("thicken", 0.6, 10.0)])
    assert more.at_width_mm == pytest.approx(10.0, rel=0.05)


def test_a_repair_of_repaired_art_is_stated_for_the_art_as_it_came() -> None:
    """An edge that grew makes the artwork wider than it came; of the latter the same print is narrower."""
    fine = make_artwork(shapely.box(0, 0, 0.3, 40))
    job = repair_art(make_job([fine]), 201, [Repair("thicken", 0.6, 0.3)])
    art = job.art(201)
    printed = job.pieces[0].width_mm
    (asked,) = stronger(art, [Repair("specks", 1.0, printed)])
    assert printed == pytest.approx(0.6, rel=0.11)
    assert asked.at_width_mm == pytest.approx(0.3, rel=1e-6)


def test_a_repair_is_done_when_the_art_has_had_it_as_strongly() -> None:
    job = fine_job()
    assert not is_done(job.art(201), THICKEN)
    done = repair_art(job, 201, [THICKEN])
    width_mm = done.pieces[0].width_mm
    assert is_done(done.art(201), replace(THICKEN, at_width_mm=width_mm))
    assert not is_done(done.art(201), replace(THICKEN, at_width_mm=width_mm / 2))
    assert not is_done(done.art(201), SOLID)
