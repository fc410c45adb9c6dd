"""Press ticket, order list and pick list: counts, places, recipes, cautions, and no formula in a table."""

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from layout_core.geometry.pose import Pose
from layout_core.job.model import Job, Order, OrderLine
from layout_core.job.placements import load_placements, placement_named
from layout_core.outputs.cut_guide import cut_guide_pages, cut_guide_pdf
from layout_core.outputs.cut_plan import cut_plan
from layout_core.outputs.drawing import Drawing, every_words
from layout_core.outputs.garment_counts import picked_garments, pressings
from layout_core.outputs.laying import across_of, drop_of, fingers_text, lay_text, spreads_upward
from layout_core.outputs.order_list import order_csv, order_json
from layout_core.outputs.press_ticket import tally, ticket_pages, ticket_pdf
from layout_core.outputs.press_words import burn_caution
from layout_core.outputs.proof_notes import CAUTIONS
from layout_core.outputs.typeface import text_width
from layout_core.units import mm
from tests.core.outputs.print_tools import run_tool
from tests.core.outputs.shop_job import shop_job, with_fabric
from tests.make import make_artwork, make_job


def ticket(job: Job) -> tuple[Drawing, ...]:
    return ticket_pages(job, [cut_plan(job, sheet) for sheet in job.sheets])


def words_of(pages: tuple[Drawing, ...]) -> str:
    return " ".join(words.text for page in pages for words in every_words(page.parts))


def test_ticket_of_a_small_job_is_one_page() -> None:
    assert len(ticket(shop_job())) == 1


def test_ticket_states_every_caution_in_full_and_how_heat_burns() -> None:
    text = words_of(ticket(shop_job()))
    for caution in (*CAUTIONS, burn_caution()):
        for word in caution.split():
            assert word in text
    assert "(ISO 13732-1, from memory)" in " ".join(text.split())


def test_ticket_gives_the_recipe_of_each_fabric_in_both_degrees() -> None:
    # common practice, no source: 340 F for 10 s at 6 to 8 of 10, pre-press 3 to 5 s, warm peel
    text = words_of(ticket(with_fabric(shop_job(), "polyester")))
    for fact in ("340 °F", "171 °C", "300-320 °F", "149-160 °C", "10 s", "6-8", "3-5 s", "warm",
                 "Polyester dye may migrate"):  # fmt: skip
        assert fact in text


def test_ticket_refuses_a_fabric_that_takes_no_heat() -> None:
    text = words_of(ticket(with_fabric(shop_job(), "Nylon")))
    assert "Do not press Nylon." in text
    assert "Do not press" in text.split("Lay and press")[1]


def test_ticket_says_when_no_fabric_is_named() -> None:
    text = words_of(ticket(with_fabric(shop_job(), "")))
    assert "name no fabric: read their labels" in text


def test_ticket_counts_what_to_press_and_what_is_short() -> None:
    text = words_of(ticket(shop_job()))
    assert "Press 6 of 6 printed" in text
    assert "Press 11 of 12 printed, 1 spare" in text
    assert "Press 11 of 6 printed, 5 SHORT" in text


def test_ticket_has_one_tally_box_a_print() -> None:
    assert len(tally(11, 500).parts) == 11
    many = tally(200, 500)
    assert len(many.parts) == 41  # 40 boxes and what each stands for
    assert tally(0, 500).height == 0


def test_no_word_of_ticket_or_cut_guide_is_wider_than_its_room() -> None:
    job = replace(shop_job(), name="An unending name " * 9)
    pages = [*ticket(job), *cut_guide_pages(job, job.sheets[0], cut_plan(job, job.sheets[0]))]
    for page in pages:
        for words in every_words(page.parts):
            assert text_width(words.text, words.size, words.weight) <= words.most + 0.5


def test_crowded_ticket_and_cut_guide_run_on_to_further_pages() -> None:
    poses = [(i, Pose(14 + 27 * (i % 10), 14 + 25 * (i // 10))) for i in range(100)]
    job = make_job([make_artwork(shapely.box(0, 0, 20, 15), f"p{i}") for i in range(100)], poses=poses)
    assert 3 <= len(ticket(job)) <= 20
    guide = cut_guide_pages(job, job.sheets[0], cut_plan(job, job.sheets[0]))
    assert len(guide) >= 2
    text = words_of(guide)
    assert all(f" {number} " in f" {text} " for number in range(1, 100))


def test_pdfs_embed_their_face_and_hold_no_other(tmp_path: Path) -> None:
    job = shop_job()
    plan = cut_plan(job, job.sheets[0])
    for data in (ticket_pdf(job, [plan]), cut_guide_pdf(job, job.sheets[0], plan)):
        path = tmp_path / "one.pdf"
        path.write_bytes(data)
        rows = run_tool("pdffonts", path).splitlines()[2:]
        assert rows
        assert all("Manrope" in row and row.split()[-5] == "yes" for row in rows)
        run_tool("qpdf", "--check", path)


def test_three_fingers_as_a_rule_two_when_the_art_spreads_upward() -> None:
    # common practice, no source; a finger is 0.75 in
    block = shapely.box(0, 0, 80, 80)
    wings = shapely.Polygon([(0, 0), (80, 0), (55, 40), (60, 80), (20, 80), (25, 40)])
    placement = placement_named("full front", load_placements())
    drops = []
    for shape in (block, wings):
        job = make_job([make_artwork(shape)])
        drops.append(drop_of(job, job.pieces[0], placement))
    assert drops == [pytest.approx(mm(2.25)), pytest.approx(mm(1.5))]
    assert not spreads_upward(make_artwork(shapely.box(0, 0, 80, 80)).outline)
    assert fingers_text(mm(2.25)) == " (3 fingers)"
    assert fingers_text(mm(0.75)) == " (1 finger)"
    assert fingers_text(mm(1.0)) == ""


def test_distance_from_the_middle_follows_the_garment_size() -> None:
    placement = placement_named("left chest", load_placements())
    job = make_job([make_artwork()])
    found = [across_of(replace(job.pieces[0], garment_size=size), placement) / 25.4
             for size in ("youth", "adult", "plus")]  # fmt: skip
    assert found == pytest.approx([3.0, 4.0, 4.75])
    assert "wearer's left" in lay_text(job, job.pieces[0], placement)


def test_garments_printed_twice_are_taken_once_and_two_designs_for_one_place_add_up() -> None:
    job = make_job([make_artwork(name=str(i)) for i in range(3)])
    front, chest, second = job.pieces
    pieces = (front, replace(chest, placement="left chest"), second)
    sizes = (("M", 12), ("L", 8))
    lines = (
        OrderLine(1, front.piece_id, "tee", "black", sizes),
        OrderLine(2, chest.piece_id, "tee", "black", (("M", 12),)),
        OrderLine(3, second.piece_id, "tee", "black", (("M", 5), ("S", 0))),
        OrderLine(4, second.piece_id, "hoodie", "", (("M", 1),)),
    )
    picked = picked_garments(replace(job, pieces=pieces, orders=(Order(9, "Night", "Them", lines),)))
    found = {(one.garment, one.colour, one.size): one.count for one in picked}
    assert found == {("tee", "black", "M"): 17, ("tee", "black", "L"): 8, ("hoodie", "black", "M"): 1}


def test_pieces_on_no_sheet_and_in_no_order_are_not_pressed() -> None:
    job = make_job([make_artwork(name="a"), make_artwork(name="b")], poses=[(0, Pose(60, 60))])
    (one,) = pressings(job)
    assert (one.piece.name, one.wanted, one.printed, one.spare) == ("a", 1, 1, 0)


def test_order_list_as_csv_and_json_say_the_same() -> None:
    job = shop_job()
    document = json.loads(order_json(job))
    rows = list(csv.DictReader(io.StringIO(order_csv(job).decode("utf-8-sig"))))
    for name in ("sheets", "garments", "prints"):
        counts = [int(row["count"]) for row in rows if row["list"] == name]
        key = "wanted" if name == "prints" else "count"
        assert counts == [one[key] for one in document[name]]
    assert document["sheets"][0]["width_in"] == 11.25
    assert [one["count"] for one in document["garments"]] == [4, 2, 3, 8]


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("x")', 'a,b"c'])
def test_no_name_becomes_a_formula_in_a_spreadsheet(name: str) -> None:
    job = shop_job()
    job = replace(job, orders=(replace(job.orders[0], name=name), *job.orders[1:]))
    rows = list(csv.DictReader(io.StringIO(order_csv(job).decode("utf-8-sig"))))
    found = next(row["order"] for row in rows if row["list"] == "garments")
    assert found == (name if name[0] == "a" else f"'{name}")
