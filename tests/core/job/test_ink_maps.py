"""Which colours of an art print, in a job: changed in place and back, saved and read again."""

import json
from dataclasses import replace
from typing import Any

import pytest

from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import InkMap, Swatch, with_prints
from layout_core.art.intake import read_art_bytes, read_with_ink_map
from layout_core.art.lettering import Lettering
from layout_core.art.repair import Repair
from layout_core.errors import JobFileError, LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job
from tests.core.job.zips import unzipped, zipped
from tests.make import GLOW, make_artwork

DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    b'<rect x="10" y="10" width="80" height="60"/><rect x="20" y="20" width="40" height="30" fill="#ffcc00"/>'
    b"</svg>"
)


def painted_job() -> Job:
    """The drawing (2) on a piece (3) at half its size, laid turned on the sheet (4), with a waiver."""
    job = edits.add_art(edits.new_job("Moth night", GLOW), read_art_bytes("moth.svg", DRAWING))
    job = edits.add_piece(job, 2, width_mm=40.0)
    job = edits.place_piece(job, 1, 3, Pose(120.0, 90.0, 30.0))
    return edits.waive(job, "gap:piece3::0.40", "Ada", "fine")


def only_yellow(job: Job) -> tuple[InkMap, Artwork]:
    _, ink_map = read_with_ink_map(job.art(2).artwork)
    artwork, ink_map = read_with_ink_map(job.art(2).artwork, with_prints(ink_map, "#000000", False))
    return ink_map, artwork


def test_the_worker_reads_under_a_map_and_tells_the_art_own_colours() -> None:
    artwork, ink_map = read_with_ink_map(DRAWING, name="moth.svg")
    assert artwork == read_art_bytes("moth.svg", DRAWING)
    assert [(s.colour, s.prints) for s in ink_map.swatches] == [("#000000", True), ("#ffcc00", True)]
    assert sum(s.area_share for s in ink_map.swatches) == pytest.approx(1.0)
    other, kept = read_with_ink_map(
        artwork, InkMap((Swatch("#101010", 0, False), Swatch("#eecc00", 0, True)))
    )
    assert [s.prints for s in kept.swatches] == [False, True]
    assert (other.width_mm, other.height_mm) == pytest.approx((40.0, 30.0))
    assert other.name == artwork.name


def test_pieces_keep_how_much_they_enlarge_the_art_and_copies_stay() -> None:
    job = painted_job()
    new = edits.change_ink_map(job, 2, *only_yellow(job))
    assert new.art(2).ink_map is not None
    assert new.art(2).original is None
    assert new.piece(3).width_mm == pytest.approx(20.0)
    assert new.placed(4).pose == job.placed(4).pose
    assert new.waivers == ()
    assert new.next_id == job.next_id


def test_changing_back_gives_the_job_that_was() -> None:
    job = painted_job()
    new = edits.change_ink_map(job, 2, *only_yellow(job))
    artwork, _ = read_with_ink_map(new.art(2).artwork)
    back = edits.change_ink_map(new, 2, None, artwork)
    assert back.arts == job.arts
    assert back.piece(3).width_mm == pytest.approx(job.piece(3).width_mm)


def test_repairs_are_done_again_under_another_map() -> None:
    holed = DRAWING.replace(b"</svg>", b'<circle cx="40" cy="35" r=".2"/></svg>')
    job = edits.add_art(edits.new_job("Moth night", GLOW), read_art_bytes("moth.svg", holed))
    ink_map, artwork = only_yellow(job)
    assert len(artwork.outline.geoms[0].interiors) == 1
    job = edits.change_ink_map(job, 2, ink_map, artwork)
    job = edits.repair_art(job, 2, [Repair("solid", 1.0, 40.0)])
    assert len(job.art(2).artwork.outline.geoms[0].interiors) == 0
    assert job.art(2).ink_map == ink_map
    again = edits.change_ink_map(job, 2, ink_map, artwork)
    assert again.art(2).original == artwork
    assert again.art(2).artwork == job.art(2).artwork


def test_art_without_colours_and_other_files_are_refused() -> None:
    job = painted_job()
    ink_map, artwork = only_yellow(job)
    with pytest.raises(LayoutError, match="is not the file"):
        edits.change_ink_map(job, 2, ink_map, make_artwork())
    with pytest.raises(LayoutError, match="nothing of the art would be left"):
        edits.change_ink_map(job, 2, InkMap((Swatch("#ffcc00", 1.0, False),)), artwork)
    made = edits.add_lettering(edits.new_job(limits=GLOW), Lettering("MOTH"))
    with pytest.raises(LayoutError, match="made in one ink"):
        edits.change_ink_map(made, 2, ink_map, made.art(2).artwork)


def test_a_map_comes_back_from_the_job_file() -> None:
    job = painted_job()
    job = edits.change_ink_map(job, 2, *only_yellow(job))
    back = job_from_bytes("night.duskjob", job_bytes(job))
    assert back == job
    assert back.art(2).ink_map == job.art(2).ink_map
    assert b"ink_map" not in unzipped(job_bytes(painted_job()))["job.json"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"swatches": [], "threshold": 0.5},
        {"swatches": [{"colour": "#FFCC00", "area_share": 1.0, "prints": True}], "threshold": 0.5},
        {"swatches": [{"colour": "#ffcc00", "area_share": 2.0, "prints": True}], "threshold": 0.5},
        {"swatches": [{"colour": "#ffcc00", "area_share": 1.0, "prints": False}], "threshold": 0.5},
        {"swatches": [{"colour": "#ffcc00", "area_share": 1.0, "prints": 1}], "threshold": 0.5},
        {"swatches": [{"colour": "#ffcc00", "area_share": 1.0, "prints": True}], "threshold": 1.5},
        {"swatches": [{"colour": "#ffcc00", "area_share": 1.0, "prints": True}]},
        {"swatches": "all", "threshold": 0.5},
    ],
)
def test_a_map_that_no_art_could_have_is_refused_in_a_file(wrong: dict[str, Any]) -> None:
    job = painted_job()
    members = unzipped(job_bytes(edits.change_ink_map(job, 2, *only_yellow(job))))
    record = json.loads(members["job.json"])
    record["arts"][0]["ink_map"] = wrong
    members["job.json"] = json.dumps(record).encode()
    with pytest.raises(JobFileError):
        job_from_bytes("night.duskjob", zipped(members))


def test_art_from_a_pdf_is_saved_with_its_source() -> None:
    artwork = replace(make_artwork(), suffix="pdf")
    job = edits.add_art(edits.new_job(limits=GLOW), artwork)
    back = job_from_bytes("night.duskjob", job_bytes(job))
    assert back.art(2).artwork.suffix == "pdf"
