"""Autopack lays what the order needs, then fillers, moves nothing and names what found no room."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job, Sheet
from layout_core.packing import autopack as module
from layout_core.packing.audit import breaches
from layout_core.packing.autopack import autopack, fill_sheet_of, too_large_pieces
from layout_core.packing.engines import ENGINE_NAMES, FillWish, engine_named
from layout_core.packing.fill import Filling, FillSheet, Laid, MenuItem, OnBetter, unheard
from layout_core.packing.on_sheet import placed_outlines
from layout_core.progress import Progress, StopFlag, no_progress
from layout_core.units import mm
from tests.core.packing.menus import crescent, ring
from tests.make import make_artwork, make_job


def with_filler(job: Job, index: int = -1) -> Job:
    pieces = list(job.pieces)
    pieces[index] = replace(pieces[index], filler=True)
    return replace(job, pieces=tuple(pieces))


def with_sheets(job: Job, count: int) -> Job:
    first = job.sheets[0]
    more = tuple(replace(first, sheet_id=n, name=f"Sheet {n}", placed=()) for n in range(2, count + 1))
    return replace(job, sheets=(first, *more))


def assert_sound(job: Job, sheet: Sheet) -> None:
    """Gap between any two copies and margin hold on true outlines."""
    outlines = list(placed_outlines(job, sheet).values())
    film = shapely.box(0, 0, sheet.width_mm, sheet.length_mm).buffer(
        1e-6 - sheet.margin_mm, join_style="mitre"
    )
    assert all(film.contains(outline) for outline in outlines)
    for number, outline in enumerate(outlines):
        for other in outlines[:number]:
            assert outline.distance(other) >= sheet.gap_mm - 1e-6


def test_every_ordered_copy_is_laid() -> None:
    result = autopack(make_job([make_artwork(), make_artwork(crescent(30), "moon")], copies=4))
    assert Counter(placed.piece_id for placed in result.job.sheets[0].placed) == {101: 4, 102: 4}
    assert (result.unplaced, result.is_complete) == ((), True)
    assert_sound(result.job, result.job.sheets[0])


def test_added_names_the_new_copies_and_nothing_else() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(60, 60))], copies=3)
    result = autopack(job)
    assert result.added == (1000, 1001)
    assert [placed.placed_id for placed in result.job.sheets[0].placed] == [301, 1000, 1001]


def test_copies_that_already_lie_on_any_sheet_are_not_laid_again() -> None:
    job = with_sheets(make_job([make_artwork()], poses=[(0, Pose(60, 60))] * 1, copies=2), 2)
    result = autopack(job, sheet_ids=[2])
    assert [len(sheet.placed) for sheet in result.job.sheets] == [1, 1]


def test_more_copies_than_wanted_stay_and_none_is_added() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(60, 60)), (0, Pose(150, 60))], copies=1)
    result = autopack(job)
    assert (result.job, result.added, result.unplaced) == (job, (), ())


def test_what_lies_on_the_sheet_stays_where_it_is() -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(61.3, 77.7, 12.5)), (0, Pose(200, 300))], copies=9)
    locked = replace(job.sheets[0].placed[0], locked=True)
    job = replace(job, sheets=(replace(job.sheets[0], placed=(locked, job.sheets[0].placed[1])),))
    result = autopack(job)
    assert result.job.sheets[0].placed[:2] == job.sheets[0].placed
    assert_sound(result.job, result.job.sheets[0])


def test_what_did_not_fit_is_named_with_its_count() -> None:
    job = make_job([make_artwork(), make_artwork(shapely.box(0, 0, 900, 40), "banner")], copies=2)
    assert autopack(job).unplaced == ((102, 2),)


def test_the_next_sheet_takes_what_the_first_has_no_room_for() -> None:
    job = with_sheets(make_job([make_artwork(shapely.box(0, 0, 280, 200), "back")], copies=5), 3)
    result = autopack(job)
    assert [len(sheet.placed) for sheet in result.job.sheets] == [2, 2, 1]
    assert result.unplaced == ()


def test_only_the_sheets_given_are_filled() -> None:
    job = with_sheets(with_filler(make_job([make_artwork()])), 3)
    result = autopack(job, sheet_ids=[2])
    assert [bool(sheet.placed) for sheet in result.job.sheets] == [False, True, False]


def test_fillers_take_the_film_that_the_order_leaves() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, 280, 300), "front"), make_artwork()])
    without, filled = autopack(job), autopack(with_filler(job))
    counts = Counter(placed.piece_id for placed in filled.job.sheets[0].placed)
    assert counts[101] == 1
    assert counts[102] > 5
    assert len(without.added) == 2
    assert_sound(filled.job, filled.job.sheets[0])


def test_a_filler_that_does_not_fit_is_not_unplaced() -> None:
    result = autopack(with_filler(make_job([make_artwork(shapely.box(0, 0, 900, 900), "huge")])))
    assert (result.added, result.unplaced) == ((), ())


def test_fillers_use_the_hollow_of_an_ordered_piece() -> None:
    job = with_filler(make_job([make_artwork(ring(140, 110), "wreath"), make_artwork()], length_mm=mm(12)))
    result = autopack(job)
    outlines = placed_outlines(result.job, result.job.sheets[0])
    hole = shapely.Polygon(next(iter(outlines.values())).geoms[0].interiors[0])
    assert sum(hole.contains(outline) for outline in outlines.values()) >= 3


def test_a_full_width_piece_fits_the_full_width_of_the_sheet() -> None:
    job = make_job(
        [make_artwork(shapely.box(0, 0, mm(11.25), mm(9)), "full front")], copies=2, length_mm=mm(18.25)
    )
    assert autopack(job).unplaced == ()
    assert autopack(make_job([a.artwork for a in job.arts], copies=2, length_mm=mm(18.249))).unplaced == (
        (101, 1),
    )


def test_the_same_job_is_packed_alike_every_time() -> None:
    job = with_filler(
        make_job([make_artwork(crescent(50), "moon"), make_artwork(), make_artwork(ring(20, 9))], copies=3)
    )
    assert autopack(job).job == autopack(job).job


def test_stop_keeps_what_was_laid_until_then_and_says_so() -> None:
    flag = StopFlag()
    calls = 0

    def tick(fraction: float, label: str) -> None:
        nonlocal calls
        calls += 1
        if calls == 400:
            flag.stop()
        flag.tick(fraction, label)

    result = autopack(with_filler(make_job([make_artwork(), make_artwork(crescent(20))])), progress=tick)
    assert not result.is_complete
    assert result.added
    assert_sound(result.job, result.job.sheets[0])


def test_stop_at_once_leaves_the_job_as_it_was() -> None:
    flag = StopFlag()
    flag.stop()
    job = make_job([make_artwork()])
    result = autopack(job, progress=flag.tick)
    assert (result.job, result.unplaced, result.is_complete) == (job, ((101, 1),), False)


def test_progress_rises_from_nothing_to_all() -> None:
    fractions: list[float] = []
    autopack(
        with_filler(make_job([make_artwork()])), progress=lambda fraction, label: fractions.append(fraction)
    )
    assert fractions == sorted(fractions)
    assert 0.0 <= fractions[0] < fractions[-1] <= 1.0


def test_an_unknown_engine_is_refused_by_name() -> None:
    with pytest.raises(LayoutError, match="boxes"):
        autopack(make_job([make_artwork()]), engine="magic")


def test_every_engine_name_has_its_engine() -> None:
    assert all(callable(engine_named(name)) for name in ENGINE_NAMES)


def test_a_breach_by_an_engine_never_reaches_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    def careless(
        sheet: FillSheet,
        menu: Sequence[MenuItem],
        *,
        effort_s: float = 0.0,
        progress: Progress = no_progress,
        on_better: OnBetter = unheard,
    ) -> Filling:
        return Filling((Laid(101, Pose(60, 60)), Laid(101, Pose(62, 60)), Laid(101, Pose(-5, 60))))

    monkeypatch.setattr(module, "engine_named", lambda name, wish: careless)
    result = autopack(make_job([make_artwork()], copies=3))
    assert [placed.pose for placed in result.job.sheets[0].placed] == [Pose(60, 60)]
    assert result.unplaced == ((101, 2),)


@settings(max_examples=12)
@given(
    sizes=st.lists(
        st.tuples(st.integers(10, 150), st.integers(10, 150), st.integers(1, 5)), min_size=1, max_size=4
    ),
    margin_mm=st.sampled_from([0.0, 6.35]),
    at=st.tuples(st.integers(0, 280), st.integers(0, 300), st.integers(0, 359)),
)
def test_packing_loses_nothing_and_moves_nothing(
    sizes: list[tuple[int, int, int]], margin_mm: float, at: tuple[int, int, int]
) -> None:
    arts = [make_artwork(shapely.box(0, 0, w, h), f"block {n}") for n, (w, h, _) in enumerate(sizes)]
    job = make_job(arts, poses=[(0, Pose(*at))], length_mm=mm(12))
    pieces = tuple(replace(p, copies=copies) for p, (_, _, copies) in zip(job.pieces, sizes, strict=True))
    job = replace(job, pieces=pieces, sheets=(replace(job.sheets[0], margin_mm=margin_mm),))
    result = autopack(job)
    sheet = result.job.sheets[0]
    unplaced = dict(result.unplaced)
    for piece in pieces:
        assert result.job.copies_placed(piece.piece_id) + unplaced.get(piece.piece_id, 0) == piece.copies
    assert sheet.placed[0] == job.sheets[0].placed[0]
    new = [Laid(placed.piece_id, placed.pose) for placed in sheet.placed[1:]]
    menu = [MenuItem(p.piece_id, result.job.artwork_of(p).outline, 1.0, p.copies) for p in pieces]
    assert breaches(fill_sheet_of(job, job.sheets[0]), new, menu) == ()


@settings(max_examples=6)
@given(
    engine=st.sampled_from(ENGINE_NAMES),
    wish=st.builds(FillWish, st.booleans(), st.booleans(), st.booleans()),
    may_turn=st.booleans(),
    copies=st.integers(2, 9),
)
def test_what_lies_stays_and_a_barred_piece_keeps_its_turn(
    engine: str, wish: FillWish, may_turn: bool, copies: int
) -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(70, 80, 33.0))], copies=copies)
    job = edits.change_piece(edits.lock_placed(job, [301], True), 101, may_turn=may_turn, turn_deg=90.0)
    result = autopack(job, engine=engine, wish=wish, seconds=0.1)
    before, *added = result.job.sheets[0].placed
    assert before == job.sheets[0].placed[0]
    assert len(added) + sum(count for _, count in result.unplaced) == copies - 1
    if not may_turn:
        assert all(placed.pose.turn_deg == 90.0 for placed in added)
    assert_sound(result.job, result.job.sheets[0])


def test_a_piece_that_no_sheet_holds_is_named_and_the_rest_is_laid() -> None:
    job = make_job([make_artwork()], copies=2)
    giant = edits.add_piece(job, job.arts[0].art_id, width_mm=5000.0, copies=3)
    giant_id = giant.pieces[-1].piece_id
    assert too_large_pieces(giant) == (giant_id,)
    result = autopack(giant, engine="shapes", seconds=3600.0)
    assert result.unplaced == ((giant_id, 3),)
    assert result.job.copies_placed(101) == 2


def test_better_layouts_are_heard_of_as_whole_jobs() -> None:
    heard: list[Job] = []
    result = autopack(make_job([make_artwork()], copies=3), on_better=heard.append)
    assert heard[-1] == result.job
