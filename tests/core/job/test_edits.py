"""Edits are pure: the old job stays, the new one holds together, and impossible input is refused."""

import copy
import dataclasses
from typing import Any

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import bounds, edits
from layout_core.job.bounds import checked_text
from layout_core.job.model import Job, OrderLine, PlacedPiece
from layout_core.job.records import record_of
from layout_core.job.soundness import require_sound
from layout_core.units import mm
from tests.core.job.jobs import MOTH, RING, edit_of, edited_jobs, rich_job
from tests.make import GLOW, make_artwork

quick = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def ids_of(job: Job) -> list[int]:
    ids = [art.art_id for art in job.arts] + [piece.piece_id for piece in job.pieces]
    for order in job.orders:
        ids += [order.order_id, *(line.line_id for line in order.lines)]
    for sheet in job.sheets:
        ids += [sheet.sheet_id, *(placed.placed_id for placed in sheet.placed)]
    return ids


@given(st.data())
@quick
def test_an_edit_leaves_the_old_job_untouched_and_makes_a_sound_one(data: st.DataObject) -> None:
    """Undo is keeping the old job, so nothing in it may change, whether the edit is done or refused."""
    job = data.draw(edited_jobs())
    before, record = copy.copy(job), record_of(job)
    _, edit = data.draw(edit_of(job))
    try:
        after = edit(job)
    except LayoutError:
        after = job
    assert job == before
    assert record_of(job) == record
    require_sound(after)
    assert after.next_id >= job.next_id
    new = set(ids_of(after)) - set(ids_of(job))
    assert all(number >= job.next_id for number in new), "an id was used again"


@given(edited_jobs())
@quick
def test_what_an_edit_does_not_touch_is_shared(job: Job) -> None:
    after = edits.rename_job(job, "Another name")
    for field in dataclasses.fields(Job):
        if field.name != "name":
            assert getattr(after, field.name) is getattr(job, field.name)


def test_a_new_job_has_one_empty_sheet_of_the_limits() -> None:
    job = edits.new_job(limits=GLOW)
    (sheet,) = job.sheets
    assert (sheet.width_mm, sheet.margin_mm, sheet.gap_mm) == (mm(11.25), 0.0, mm(0.25))
    assert sheet.placed == ()
    assert edits.new_job().limits.name == "glow"


@pytest.mark.parametrize(
    ("make", "find"),
    [
        (lambda j: edits.add_art(j, MOTH), lambda j: j.arts[-1].art_id),
        (lambda j: edits.add_piece(j, 2), lambda j: j.pieces[-1].piece_id),
        (lambda j: edits.add_sheet(j), lambda j: j.sheets[-1].sheet_id),
        (lambda j: edits.add_order(j, "a", "b"), lambda j: j.orders[-1].order_id),
        (lambda j: edits.place_piece(j, 1, 6, Pose(0, 0)), lambda j: j.sheets[0].placed[-1].placed_id),
        (lambda j: edits.duplicate_placed(j, [11], 1, 1), lambda j: j.sheets[0].placed[-1].placed_id),
    ],
)
def test_the_first_thing_made_has_exactly_the_next_id(make: Any, find: Any) -> None:
    job = rich_job()
    assert find(make(job)) == job.next_id
    assert make(job).next_id == job.next_id + 1


def test_a_piece_without_a_width_gets_its_preset() -> None:
    job = edits.add_piece(rich_job(), 2, placement="left chest", garment_size="adult")
    piece = job.pieces[-1]
    assert piece.width_mm == pytest.approx(mm(3.75))
    assert piece.name == "moth"
    with pytest.raises(LayoutError, match="sleeve is not made for “toddler”"):
        edits.add_piece(job, 2, placement="sleeve", garment_size="toddler")
    with pytest.raises(LayoutError, match="there is no placement “hat”"):
        edits.add_piece(job, 2, placement="hat")


def test_sizing_for_a_placement_keeps_to_its_box() -> None:
    tall = make_artwork(shapely.box(0, 0, 10, 50), "tall")
    job = edits.add_piece(edits.add_art(edits.new_job(limits=GLOW), tall), 2, width_mm=5.0)
    job = edits.size_piece_for(job, 3, "full front", "adult")
    piece = job.piece(3)
    assert piece.width_mm == pytest.approx(mm(14) / 5)
    assert (piece.placement, piece.garment_size) == ("full front", "adult")
    assert job.size_of(piece)[1] == pytest.approx(mm(14))


def test_removing_art_takes_its_pieces_copies_lines_and_waivers() -> None:
    job = edits.remove_art(rich_job(), 2)
    assert [art.art_id for art in job.arts] == [3]
    assert [piece.piece_id for piece in job.pieces] == [7, 8]
    assert [placed.placed_id for placed in job.sheet(1).placed] == [12]
    assert job.order(4).lines == ()
    assert job.waivers == ()


def test_replacing_art_keeps_widths_and_drops_the_waivers_of_its_pieces() -> None:
    before = rich_job()
    job = edits.replace_artwork(before, 2, RING)
    assert job.pieces == before.pieces
    assert job.art(2).artwork is RING
    assert job.waivers == ()
    assert edits.replace_artwork(before, 3, MOTH).waivers == before.waivers


def test_removing_an_order_gives_its_pieces_to_the_shop() -> None:
    job = edits.remove_order(rich_job(), 4)
    assert job.piece(6).order_id is None
    assert job.copies_placed(6) == 1


def test_no_order_may_name_the_piece_of_another() -> None:
    job = rich_job()
    with pytest.raises(LayoutError, match="belongs to another order"):
        edits.set_order_lines(job, 5, [OrderLine(0, 6, "tee", "black", (("M", 1),))])
    with pytest.raises(LayoutError, match="stands in the order moth survey night"):
        edits.change_piece(job, 6, order_id=5)


def test_order_lines_keep_their_ids_and_new_ones_count_up() -> None:
    job = rich_job()
    (line,) = job.order(4).lines
    new = OrderLine(0, 8, "tote", "navy", (("one", 5),))
    after = edits.set_order_lines(job, 4, [new, line, new])
    assert [li.line_id for li in after.order(4).lines] == [14, 9, 15]
    assert after.next_id == 16
    assert after.order(4).lines[0].count == 5
    with pytest.raises(LayoutError, match="has no line 9"):
        edits.set_order_lines(after, 4, [line, line])


def test_the_last_sheet_stays() -> None:
    job = edits.remove_sheet(rich_job(), 10)
    assert [sheet.sheet_id for sheet in job.sheets] == [1]
    with pytest.raises(LayoutError, match="last sheet"):
        edits.remove_sheet(job, 1)


def test_a_new_sheet_is_like_the_last_and_has_a_free_name() -> None:
    job = edits.change_sheet(edits.new_job(limits=GLOW), 1, length_mm=700.0, gap_mm=4.0)
    job = edits.add_sheet(edits.add_sheet(job), name="Mine", width_mm=100.0)
    assert [sheet.name for sheet in job.sheets] == ["Sheet A", "Sheet B", "Mine"]
    assert [sheet.length_mm for sheet in job.sheets] == [700.0] * 3
    assert (job.sheets[1].gap_mm, job.sheets[2].width_mm) == (4.0, 100.0)
    job = edits.remove_sheet(job, job.sheets[0].sheet_id)
    assert edits.add_sheet(job).sheets[-1].name == "Sheet A"


def test_other_limits_reach_the_sheets_that_followed_the_old_ones() -> None:
    job = edits.change_sheet(rich_job(), 10, gap_mm=4.0)
    after = edits.set_limits(job, dataclasses.replace(GLOW, margin_mm=3.0, piece_gap_mm=8.0))
    assert [(sheet.margin_mm, sheet.gap_mm) for sheet in after.sheets] == [(3.0, 8.0), (0.0, 4.0)]
    with pytest.raises(LayoutError, match="line_stop_mm must not be above"):
        edits.set_limits(job, dataclasses.replace(GLOW, line_stop_mm=9.0))


def placed(job: Job, placed_id: int) -> PlacedPiece:
    return job.placed(placed_id)


def test_moving_passes_over_the_locked_and_refuses_when_all_are() -> None:
    job = rich_job()
    after = edits.move_placed(job, [11, 12], 5.0, -3.0)
    assert placed(after, 11).pose == Pose(45.0, 47.0, 0.0)
    assert placed(after, 12) is placed(job, 12)
    for edit in (
        lambda: edits.move_placed(job, [12], 1, 1),
        lambda: edits.turn_placed(job, [12], 90),
        lambda: edits.delete_placed(job, [12]),
        lambda: edits.move_to_sheet(job, [12], 10, 0, 0),
    ):
        with pytest.raises(LayoutError, match="lantern ring is locked; unlock it first"):
            edit()
    assert edits.lock_placed(job, [12], True) == job


def test_one_copy_turns_about_its_own_centre() -> None:
    after = edits.turn_placed(rich_job(), [11], 30.0)
    assert placed(after, 11).pose == Pose(40.0, 50.0, 30.0)


def test_several_copies_turn_clockwise_about_their_common_centre() -> None:
    job = edits.lock_placed(rich_job(), [12], False)
    job = edits.set_poses(job, {11: Pose(10.0, 20.0), 12: Pose(30.0, 20.0)})
    after = edits.turn_placed(job, [11, 12], 90.0)
    assert placed(after, 11).pose == Pose(20.0, 10.0, 90.0)  # the left one goes to the top
    assert placed(after, 12).pose == Pose(20.0, 30.0, 90.0)


@given(
    st.floats(-720, 720),
    st.lists(st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=2, max_size=5),
)
def test_turning_back_restores_every_place(by_deg: float, spots: list[tuple[float, float]]) -> None:
    job = edits.lay_out(rich_job(), 1, [(6, Pose(x, y, 15.0)) for x, y in spots])
    ids = range(job.next_id - len(spots), job.next_id)
    after = edits.turn_placed(edits.turn_placed(job, ids, by_deg), ids, -by_deg)
    for number in ids:
        new, old = placed(after, number).pose, placed(job, number).pose
        assert (new.x_mm, new.y_mm) == pytest.approx((old.x_mm, old.y_mm), abs=1e-9)
        assert (new.turn_deg - old.turn_deg + 180.0) % 360.0 == pytest.approx(180.0, abs=1e-9)


def test_set_poses_heeds_no_lock_and_keeps_what_is_already_there() -> None:
    job = rich_job()
    assert placed(edits.set_poses(job, {12: Pose(1.0, 2.0)}), 12).pose == Pose(1.0, 2.0)
    assert edits.set_poses(job, {12: placed(job, 12).pose}).sheets[0] is job.sheets[0]


def test_moving_to_another_sheet_keeps_the_id_and_loses_nothing() -> None:
    job = rich_job()
    after = edits.move_to_sheet(job, [11], 10, 1.0, 2.0)
    assert after.sheet_of(11).sheet_id == 10
    assert placed(after, 11).pose == Pose(41.0, 52.0)
    assert sorted(ids_of(after)) == sorted(ids_of(job))
    assert after.next_id == job.next_id
    assert edits.move_to_sheet(job, [13], 10, 1.0, 0.0) == edits.move_placed(job, [13], 1.0, 0.0)


def test_a_second_copy_is_unlocked_and_on_the_same_sheet() -> None:
    after = edits.duplicate_placed(rich_job(), [12, 13], 1.0, 1.0)
    assert [p.placed_id for p in after.sheet(1).placed] == [11, 12, 14]
    assert [p.placed_id for p in after.sheet(10).placed] == [13, 15]
    assert not placed(after, 14).locked


@pytest.mark.parametrize(
    "edit",
    [
        lambda j: edits.place_piece(j, 99, 6, Pose(0, 0)),
        lambda j: edits.place_piece(j, 1, 99, Pose(0, 0)),
        lambda j: edits.place_piece(j, 1, 6, Pose(float("nan"), 0)),
        lambda j: edits.place_piece(j, 1, 6, Pose(0, 1e9)),
        lambda j: edits.place_piece(j, 1, 6, Pose(0, 0, float("inf"))),
        lambda j: edits.move_placed(j, [], 1, 1),
        lambda j: edits.move_placed(j, [11, 99], 1, 1),
        lambda j: edits.move_placed(j, [11], float("nan"), 1),
        lambda j: edits.set_poses(j, {99: Pose(0, 0)}),
        lambda j: edits.change_piece(j, 6, width_mm=0.0),
        lambda j: edits.change_piece(j, 6, width_mm=-3.0),
        lambda j: edits.change_piece(j, 6, width_mm=float("nan")),
        lambda j: edits.change_piece(j, 6, width_mm=1e9),
        lambda j: edits.change_piece(j, 6, copies=-1),
        lambda j: edits.change_piece(j, 6, copies=True),
        lambda j: edits.change_piece(j, 6, name=" \n "),
        lambda j: edits.change_piece(j, 6, art_id=99),
        lambda j: edits.change_piece(j, 6, order_id=99),
        lambda j: edits.change_piece(j, 99, name="x"),
        lambda j: edits.change_sheet(j, 1, width_mm=0.0),
        lambda j: edits.change_sheet(j, 1, margin_mm=mm(6)),
        lambda j: edits.change_sheet(j, 1, gap_mm=-1.0),
        lambda j: edits.change_sheet(j, 1, run=0),
        lambda j: edits.change_sheet(j, 1, placed=()),
        lambda j: edits.add_piece(j, 99),
        lambda j: edits.remove_art(j, 99),
        lambda j: edits.remove_order(j, 99),
        lambda j: edits.add_order(j, "", "x"),
        lambda j: edits.change_order(j, 4, lines=()),
        lambda j: edits.waive(j, "gap:piece6::0.40", "", "why"),
        lambda j: edits.waive(j, "gap:piece6::0.40", "Ada", ""),
        lambda j: edits.rename_job(j, "\0"),
        lambda j: edits.set_revision(j, 0),
    ],
)
def test_impossible_input_is_refused_in_one_sentence(edit: Any) -> None:
    job = rich_job()
    with pytest.raises(LayoutError) as caught:
        edit(job)
    assert "\n" not in str(caught.value)
    assert job == rich_job()


def test_each_total_is_held_at_its_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    job = rich_job()
    for name, module, edit in (
        ("MOST_ARTS", "edits_art", lambda: edits.add_art(job, MOTH)),
        ("MOST_PIECES", "edits_art", lambda: edits.add_piece(job, 2)),
        ("MOST_SHEETS", "edits_sheet", lambda: edits.add_sheet(job)),
        ("MOST_ORDERS", "edits_order", lambda: edits.add_order(job, "a", "b")),
        ("MOST_PLACED", "edits_placed", lambda: edits.place_piece(job, 1, 6, Pose(0, 0))),
        ("MOST_WAIVERS", "edits_job", lambda: edits.waive(job, "k:piece7", "w", "r")),
    ):
        have = {"MOST_ARTS": 2, "MOST_PIECES": 3, "MOST_SHEETS": 2, "MOST_ORDERS": 2, "MOST_PLACED": 3}
        count = have.get(name, 1)
        monkeypatch.setattr(f"layout_core.job.{module}.{name}", count + 1)
        edit()
        monkeypatch.setattr(f"layout_core.job.{module}.{name}", count)
        with pytest.raises(LayoutError, match=f"at most {count} "):
            edit()


def test_art_without_ink_or_beyond_the_file_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    job = rich_job()
    empty = dataclasses.replace(MOTH, outline=shapely.MultiPolygon())
    with pytest.raises(LayoutError, match="has no ink"):
        edits.add_art(job, empty)
    monkeypatch.setattr(bounds, "MOST_VERTICES", 5)
    with pytest.raises(LayoutError, match="over 5 outline points"):
        edits.add_art(job, MOTH)
    monkeypatch.setattr(bounds, "MOST_SOURCE_BYTES", 5)
    with pytest.raises(LayoutError, match="is over 0 MB"):
        edits.add_art(job, MOTH)


@pytest.mark.parametrize(
    ("text", "tidy"),
    [
        ("  two\n lines\t", "two lines"),
        ("turn\u202eed\u2066", "turned"),
        ("lone \udcff half", "lone ? half"),
        ("zero\0sign", "zero sign"),
        ("m\u200dz", "m\u200dz"),  # a joiner that some scripts need stays
        ("x" * 200, "x" * 120),
        ("<img src=file:x>", "<img src=file:x>"),
    ],
)
def test_words_are_kept_on_one_line_and_storable(text: str, tidy: str) -> None:
    assert checked_text(text, "a name") == tidy


@given(st.text(max_size=150))
def test_tidy_words_stay_as_they_are(text: str) -> None:
    once = checked_text(text, "a name", may_be_empty=True)
    assert checked_text(once, "a name", may_be_empty=True) == once
    once.encode("utf-8")


@given(st.floats(-1e6, 1e6))
def test_a_turn_lies_from_0_up_to_360(turn_deg: float) -> None:
    turned = bounds.checked_turn(turn_deg)
    assert 0.0 <= turned < 360.0
    assert bounds.checked_turn(turned) == turned
