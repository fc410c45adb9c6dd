"""Lettering, stock shapes and lists of names in a job: added, changed in place, saved with what made them."""

import io
import json
import zipfile
from dataclasses import replace
from typing import Any

import pytest
import shapely

from layout_core.art.fonts import bundled_faces
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.art.stock import stock_artwork, stock_shape
from layout_core.errors import JobFileError, LayoutError, SaveError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.edits_made import named_lettering
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job
from layout_core.job.name_list import NameRow, names_from_bytes
from tests.core.job.jobs import rich_job
from tests.core.job.zips import zipped
from tests.make import GLOW, make_artwork

WORDS = Lettering("MOTH NIGHT", cap_height_mm=20.0)
STAR = stock_shape("star")


def lettered_job() -> Job:
    """Lettering (2) on a piece (3) twice as large as it was set, laid turned on the sheet (4), waived."""
    job = edits.add_lettering(edits.new_job("Moth night", GLOW), WORDS)
    job = edits.add_piece(job, 2, width_mm=2 * job.art(2).artwork.width_mm)
    job = edits.place_piece(job, 1, 3, Pose(120.0, 90.0, 30.0))
    return edits.waive(job, "gap:piece3::0.40", "Ada", "fine")


def test_lettering_is_added_with_what_made_it() -> None:
    job = lettered_job()
    assert job.art(2).lettering == WORDS
    assert job.art(2).artwork == lettering_artwork(WORDS)
    assert job.piece(3).name == "MOTH NIGHT"


def test_artwork_made_before_is_taken_as_it_is() -> None:
    art = lettering_artwork(WORDS)
    assert edits.add_lettering(edits.new_job(limits=GLOW), WORDS, art).art(2).artwork is art


def test_other_words_take_the_place_of_the_old_and_the_letters_stay_as_tall() -> None:
    old = lettered_job()
    new = edits.change_lettering(old, 2, replace(WORDS, text="TIDE-POOL LANTERN WALK"))
    art = new.art(2).artwork
    assert new.art(2).lettering == replace(WORDS, text="TIDE-POOL LANTERN WALK")
    assert new.piece(3).width_mm == pytest.approx(2 * art.width_mm)
    assert new.piece(3).name == "TIDE-POOL LANTERN WALK"
    assert new.placed(4).pose == old.placed(4).pose
    assert new.waivers == ()
    assert new.next_id == old.next_id


def test_a_piece_with_its_own_name_keeps_it() -> None:
    job = edits.change_piece(lettered_job(), 3, name="crew shirt")
    assert edits.change_lettering(job, 2, replace(WORDS, text="WALK")).piece(3).name == "crew shirt"


def test_twice_the_cap_height_makes_the_pieces_twice_as_large() -> None:
    old = lettered_job()
    new = edits.change_lettering(old, 2, replace(WORDS, cap_height_mm=40.0))
    assert new.piece(3).width_mm == pytest.approx(2 * old.piece(3).width_mm, rel=1e-4)


def test_a_change_that_changes_nothing_is_the_same_job() -> None:
    job = lettered_job()
    assert edits.change_lettering(job, 2, WORDS) is job


def test_stock_shapes_are_added_and_changed_alike() -> None:
    job = edits.add_stock(edits.new_job(limits=GLOW), STAR)
    assert (job.art(2).stock, job.art(2).artwork) == (STAR, stock_artwork(STAR))
    job = edits.add_piece(job, 2, width_mm=job.art(2).artwork.width_mm)
    changed = edits.change_stock(job, 2, stock_shape("star", points=8.0))
    assert changed.art(2).stock == stock_shape("star", points=8.0)
    assert changed.piece(3).width_mm == pytest.approx(changed.art(2).artwork.width_mm)


def test_what_cannot_be_made_leaves_the_job_as_it_was() -> None:
    job = edits.add_art(lettered_job(), make_artwork())  # 5
    for edit in (
        lambda: edits.add_lettering(job, replace(WORDS, text=" ")),
        lambda: edits.change_lettering(job, 2, replace(WORDS, text="日")),
        lambda: edits.change_lettering(job, 2, replace(WORDS, font="No Such Face")),
        lambda: edits.change_lettering(job, 5, WORDS),
        lambda: edits.change_lettering(job, 99, WORDS),
        lambda: edits.change_lettering(job, 2, replace(WORDS, cap_height_mm=900.0, text="M" * 60)),
        lambda: edits.change_stock(job, 2, STAR),
        lambda: edits.add_stock(job, replace(STAR, kind="moth")),
    ):
        with pytest.raises(LayoutError):
            edit()


def test_art_replaced_by_other_shapes_is_no_lettering_any_more() -> None:
    job = edits.replace_artwork(lettered_job(), 2, make_artwork())
    assert job.art(2).lettering is None


def names(text: str) -> Any:
    return names_from_bytes("crew.csv", text.encode())


def test_a_list_of_names_gives_one_piece_a_row_all_of_one_cap_height() -> None:
    job = edits.add_order(edits.new_job(limits=GLOW), "moth survey night", "Moth group")  # 2
    listed = names("name,number,copies\nINA,7,2\nOLI,12,0\n")
    job = edits.add_name_list(job, listed, Lettering("{name}\n{number}", cap_height_mm=15.0), order_id=2)
    assert [(piece.name, piece.copies, piece.order_id) for piece in job.pieces] == [
        ("INA 7", 2, 2), ("OLI 12", 0, 2)
    ]  # fmt: skip
    for piece in job.pieces:
        art = job.art(piece.art_id)
        assert art.lettering is not None
        assert art.lettering.cap_height_mm == 15.0
        assert piece.width_mm == art.artwork.width_mm
    assert [art.lettering.text for art in job.arts if art.lettering] == ["INA\n7", "OLI\n12"]


def test_rows_with_the_same_words_share_their_art() -> None:
    job = edits.add_name_list(edits.new_job(limits=GLOW), names("INA\nOLI\nINA\n"), Lettering("{name}"))
    assert [piece.art_id for piece in job.pieces] == [2, 4, 2]
    assert len(job.arts) == 2


def test_a_row_fills_the_place_of_its_name_or_the_whole_text() -> None:
    row = NameRow(2, "Ina", "7")
    for text, expected in (
        ("{name}", "Ina"), ("CREW\n{name}", "CREW\nIna"), ("{number} {name}", "7 Ina"),
        ("anything", "Ina\n7"), ("{number}", "7"),
    ):  # fmt: skip
        assert named_lettering(Lettering(text), row).text == expected


def test_every_row_whose_letters_the_font_lacks_is_named() -> None:
    with pytest.raises(LayoutError, match=r"crew\.csv: row 3 \(Жук\).*“Ж”.*; row 4 \(日\).*“日”"):
        edits.add_name_list(edits.new_job(limits=GLOW), names("name\nIna\nЖук\n日\n"), Lettering("{name}"))


def test_more_names_than_a_job_holds_are_refused_whole() -> None:
    job = edits.new_job(limits=GLOW)
    art = make_artwork(shapely.box(0, 0, 5, 5), "dot")
    for _ in range(499):
        job = edits.add_art(job, art)
    with pytest.raises(LayoutError, match="at most 500 arts"):
        edits.add_name_list(job, names("INA\nOLI\n"), Lettering("{name}"))


def test_a_job_with_made_art_is_saved_and_loaded_the_same() -> None:
    job = edits.add_stock(lettered_job(), stock_shape("badge", top="MOTHS", font=bundled_faces()[2].name))
    data = job_bytes(job)
    loaded = job_from_bytes("x", data)
    assert loaded == job
    assert job_bytes(loaded) == data
    assert loaded.art(2).lettering == WORDS
    changed = edits.change_lettering(loaded, 2, replace(WORDS, text="WALK"))
    assert changed == edits.change_lettering(job, 2, replace(WORDS, text="WALK"))


def test_art_from_a_file_says_nothing_of_lettering_in_the_record() -> None:
    with zipfile.ZipFile(io.BytesIO(job_bytes(rich_job()))) as opened:
        record = json.loads(opened.read("job.json"))
    assert not any("lettering" in art or "stock" in art for art in record["arts"])


def _as_stock(art: dict[str, Any], kind: str, *parameters: list[Any]) -> None:
    del art["lettering"]
    art["stock"] = {"kind": kind, "parameters": list(parameters)}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda art: art["lettering"].update(cap_height_mm=-3.0), "cap height"),
        (lambda art: art["lettering"].update(alignment="middle"), "alignment"),
        (lambda art: art["lettering"].update(text=" MOTH"), "no edit writes"),
        (lambda art: art["lettering"].update(text=""), "no words"),
        (lambda art: art["lettering"].pop("font"), "font"),
        (lambda art: art["lettering"].update(colour="green"), "colour"),
        (lambda art: art.update(stock={"kind": "star", "parameters": []}), "at once"),
        (lambda art: _as_stock(art, "moth"), "moth"),
        (lambda art: _as_stock(art, "ring", ["size_mm", -1]), "size"),
        (lambda art: _as_stock(art, "ring", ["size_mm"]), "parameters"),
    ],
)  # fmt: skip
def test_a_file_that_says_nonsense_of_its_lettering_is_refused(change: Any, words: str) -> None:
    with zipfile.ZipFile(io.BytesIO(job_bytes(lettered_job()))) as opened:
        content = {info.filename: opened.read(info) for info in opened.infolist()}
    record = json.loads(content["job.json"])
    change(record["arts"][0])
    content["job.json"] = json.dumps(record).encode()
    with pytest.raises(JobFileError, match=words):
        job_from_bytes("x", zipped(content))


def test_a_job_with_lettering_no_edit_writes_is_not_saved() -> None:
    job = lettered_job()
    broken = replace(job, arts=(replace(job.arts[0], lettering=replace(WORDS, tracking=1e9)),))
    with pytest.raises(SaveError):
        job_bytes(broken)
