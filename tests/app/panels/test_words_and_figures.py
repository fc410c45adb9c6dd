"""What the panels say of a job: words, counts, runs, use, and the state of each station."""

from dataclasses import replace

import pytest
import shapely

from app.panels.finding_groups import grouped, measure_words
from app.panels.hand_off_panel import proof_file_name
from app.panels.job_words import (
    counted,
    open_findings,
    piece_line,
    piece_tag,
    severity_words,
    size_words,
    titled,
)
from app.panels.orders_panel import parse_sizes, write_sizes
from app.panels.plan_figures import plan_figures
from app.panels.sheet_figures import left_to_lay, sheet_use, tightest_mm
from app.panels.station_figures import STATIONS, stations
from app.widgets.marks import Mark
from layout_core.checks.findings import Finding, Severity
from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.units import mm
from tests.make import make_artwork, make_job
from tests.window_kit import fine_line, shop_job


@pytest.fixture(scope="module")
def job() -> Job:
    return shop_job()


def figures(job: Job, findings: tuple[Finding, ...] = (), **state: object) -> dict[str, tuple[Mark, str]]:
    made = stations(job, findings, **state)  # type: ignore[arg-type]
    return {station.key: (station.mark, station.figure) for station in made}


def test_one_is_counted_without_the_plural() -> None:
    assert counted(1, "piece") == "1 piece"
    assert counted(1200, "copy", "copies") == "1,200 copies"


def test_trade_keys_are_shown_as_words() -> None:
    assert titled("left chest") == "Left chest"
    assert titled("plus") == "2XL and up"


def test_a_piece_is_told_by_placement_garment_size_and_width(job: Job) -> None:
    assert piece_line(job.pieces[0], "in") == "Left chest · adult · 3.75 in"
    assert piece_line(job.pieces[0], "mm") == "Left chest · adult · 95.2 mm"
    assert size_words(mm(11), mm(8.4), "in") == "11 × 8.4 in"


def test_a_row_ends_with_the_order_or_what_is_left_to_lay_or_the_stops(job: Job) -> None:
    block, ring, dot = job.pieces
    assert piece_tag(job, block, ()) == ("24 on order", None)
    assert piece_tag(job, ring, ()) == ("laid", None)
    assert piece_tag(job, dot, ()) == ("filler", None)
    two = edits.change_piece(job, ring.piece_id, copies=2)
    assert piece_tag(two, two.piece(ring.piece_id), ()) == ("1 of 2 laid", None)
    caution = fine_line(block.piece_id)
    assert piece_tag(job, block, (caution,)) == ("24 on order", Mark.CAUTION)
    stop = replace(caution, severity=Severity.STOP)
    assert piece_tag(job, block, (stop, caution)) == ("1 stop", Mark.STOP)


def test_a_waived_finding_counts_no_more(job: Job) -> None:
    finding = fine_line(job.pieces[0].piece_id)
    waived = edits.waive(job, finding.key, "Iris", "a test piece")
    assert open_findings(waived, (finding,)) == ()
    assert figures(waived, (finding,))["findings"] == (Mark.CHECK, "nothing to fix")


def test_severities_are_counted_worst_first_and_notes_only_alone() -> None:
    stop = Finding("gap", Severity.STOP, "")
    caution, note = replace(stop, severity=Severity.CAUTION), replace(stop, severity=Severity.NOTE)
    assert severity_words((caution, note, stop, caution)) == "1 stop · 2 cautions"
    assert severity_words((note,)) == "1 note"
    assert severity_words(()) == "nothing to fix"


def test_runs_times_laid_copies_less_garments_are_the_spares(job: Job) -> None:
    """By hand: 2 blocks x run 12 = 24 made, 24 garments; 1 ring x 12 = 12 made, none ordered."""
    plan = plan_figures(job)
    assert [(row.laid, row.made, row.ordered, row.spare) for row in plan.rows] == [
        (2, 24, 24, 0),
        (1, 12, 0, 12),
        (0, 0, 0, 0),
    ]
    assert (plan.sheet_count, plan.ordered, plan.short, plan.spare, plan.below_run) == (12, 24, 0, 12, ())
    assert plan.film_mm == pytest.approx(12 * job.sheets[0].length_mm)


def test_a_run_that_does_not_cover_the_order_falls_short(job: Job) -> None:
    sheet_id = job.sheets[0].sheet_id
    plan = plan_figures(edits.change_sheet(job, sheet_id, run=5))
    assert plan.short == 24 - 2 * 5
    assert plan.below_run == (sheet_id,)


def test_an_empty_sheet_is_not_printed(job: Job) -> None:
    more = edits.add_sheet(job)
    assert plan_figures(more).sheet_count == 12


def test_use_is_the_share_of_the_film_by_boxes_and_by_ink() -> None:
    """By hand: a 50 x 40 frame 10 mm wide, twice on a 100 x 200 sheet: boxes 4000, ink 2 x 1400 mm²."""
    frame = shapely.box(0, 0, 50, 40).difference(shapely.box(10, 10, 40, 30))
    job = make_job(
        [make_artwork(frame)], poses=[(0, Pose(30, 30)), (0, Pose(30, 100))], width_mm=100, length_mm=200
    )
    use = sheet_use(job, job.sheets)
    assert use.box == pytest.approx(0.2)
    assert use.ink == pytest.approx(2 * 1400 / 20000)
    assert sheet_use(job, ()).box == 0.0


def test_what_is_left_to_lay_leaves_fillers_out(job: Job) -> None:
    assert left_to_lay(job) == 0
    assert left_to_lay(edits.change_piece(job, job.pieces[1].piece_id, copies=4)) == 3


def test_the_tightest_gap_is_that_of_the_sheet_and_never_negative() -> None:
    near = Finding("spacing", Severity.CAUTION, "", 3.0, 6.35, sheet_id=1, placed_ids=(1, 2))
    over = Finding("overlap", Severity.STOP, "", -2.0, 0.0, sheet_id=2, placed_ids=(3, 4))
    assert tightest_mm((near, over), 1) == 3.0
    assert tightest_mm((near, over), 2) == 0.0
    assert tightest_mm((near, over), 3) is None


def test_the_stations_of_an_empty_job_are_not_begun() -> None:
    told = figures(edits.new_job())
    assert list(told) == list(STATIONS)
    assert {mark for mark, _ in told.values()} == {Mark.PENDING}


def test_the_stations_of_a_job_in_order_tell_one_figure_each(job: Job) -> None:
    told = figures(job, proofed=job)
    assert told["art"] == (Mark.CHECK, "3 pieces")
    assert told["sheets"][0] is Mark.CHECK
    assert told["sheets"][1].startswith("1 sheet · ")
    assert told["findings"] == (Mark.CHECK, "nothing to fix")
    assert told["plan"] == (Mark.CHECK, "12 sheets · 12 spares")
    assert told["hand-off"] == (Mark.CHECK, "proof made")
    assert figures(job, previewed=job)["hand-off"] == (Mark.PENDING, "proof not saved")
    assert figures(job)["hand-off"] == (Mark.PENDING, "proof not made")


def test_the_stations_warn_of_what_is_missing(job: Job) -> None:
    block = job.pieces[0].piece_id
    short = edits.change_sheet(edits.change_piece(job, block, copies=5), job.sheets[0].sheet_id, run=7)
    unknown = Finding("size_unknown", Severity.CAUTION, "", piece_id=block)
    told = figures(short, (unknown,), proofed=job)
    assert told["art"] == (Mark.CAUTION, "1 size to choose")
    assert told["sheets"][0] is Mark.CAUTION
    assert told["sheets"][1].startswith("3 to lay")
    assert told["findings"] == (Mark.CAUTION, "1 caution")
    assert told["plan"] == (Mark.CAUTION, "7 sheets · 10 short")
    assert told["hand-off"] == (Mark.CAUTION, "changed since the proof")


def test_while_nothing_is_known_yet_the_findings_are_being_checked(job: Job) -> None:
    assert figures(job, is_checking=True)["findings"] == (Mark.PENDING, "checking")


def test_two_hundred_specks_are_one_group_with_the_worst_first(job: Job) -> None:
    piece_id = job.pieces[0].piece_id
    specks = tuple(
        Finding("speck", Severity.CAUTION, "", 0.7 - n / 1000, 0.762, "mm", (n, n), piece_id)
        for n in range(200)
    )
    rest = Finding("speck", Severity.CAUTION, "12 more specks", limit=0.762, piece_id=piece_id)
    (group,) = grouped(job, (*specks, rest))
    assert group.first.measured == pytest.approx(0.501)
    assert group.detail("in") == "0.02 in, needs 0.03 in · 200 places · 12 more specks"
    assert group.subject == "Block & tackle"


def test_stops_come_first_and_waived_ones_last_with_who_and_why(job: Job) -> None:
    piece_id, ring_id = job.pieces[0].piece_id, job.pieces[1].piece_id
    caution, other = fine_line(piece_id), fine_line(ring_id)
    stop = replace(caution, severity=Severity.STOP, rule="gap")
    waived = edits.waive(job, other.key, "Iris", "hidden by the seam")
    groups = grouped(waived, (other, caution, stop))
    assert [group.severity for group in groups] == [Severity.STOP, Severity.CAUTION, Severity.CAUTION]
    assert groups[2].waiver is not None
    assert (groups[2].waiver.who, groups[2].waiver.reason) == ("Iris", "hidden by the seam")


def test_a_crowded_pair_is_told_with_both_names(job: Job) -> None:
    sheet = job.sheets[0]
    ids = (sheet.placed[0].placed_id, sheet.placed[2].placed_id)
    near = Finding("spacing", Severity.CAUTION, "", 3.0, 6.35, sheet_id=sheet.sheet_id, placed_ids=ids)
    (group,) = grouped(job, (near,))
    assert group.subject == "Sheet A: Block & tackle and Ring of a very long name that no row can hold"


@pytest.mark.parametrize(
    ("measured", "limit", "of", "unit", "words"),
    [
        (0.4826, 0.508, "mm", "in", "0.019 in, needs 0.02 in"),
        (0.4826, 0.508, "mm", "mm", "0.5 mm, needs 0.5 mm"),
        (120.0, 300.0, "dpi", "in", "120 dpi, needs 300 dpi"),
        (300.0, 250.0, "mm", "mm", "300 mm, at most 250 mm"),
        (6.4516, 12.9032, "mm2", "in", "0.010 sq in, needs 0.020 sq in"),
        (2.0, None, "copies", "in", "2 copies"),
        (None, 1.0, "mm", "in", ""),
    ],
)
def test_a_measure_is_told_with_its_limit_in_the_unit_in_force(
    measured: float | None, limit: float | None, of: str, unit: str, words: str
) -> None:
    finding = Finding("rule", Severity.NOTE, "", measured, limit, of)
    assert measure_words(finding, "mm" if unit == "mm" else "in") == words


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("M 12, L 8", (("M", 12), ("L", 8))),
        ("2XL: 3; one size 5", (("2XL", 3), ("one size", 5))),
        ("M x 4", (("M", 4),)),
        ("S=2,XL×1", (("S", 2), ("XL", 1))),
        (" , ", ()),
    ],
)
def test_sizes_are_read_as_people_write_them(text: str, sizes: tuple[tuple[str, int], ...]) -> None:
    assert parse_sizes(text) == sizes
    assert parse_sizes(write_sizes(sizes)) == sizes


@pytest.mark.parametrize("text", ["M", "12", "M twelve", "M -3", "M 12 L 8 9"])
def test_what_is_no_size_and_count_is_refused_in_words(text: str) -> None:
    with pytest.raises(LayoutError, match="write them like M 12, L 8"):
        parse_sizes(text)


def test_a_proof_is_named_after_job_and_order_with_plain_signs(job: Job) -> None:
    assert proof_file_name(job, None) == "moth-night-tide-walk-proof.png"
    assert proof_file_name(job, job.orders[0].order_id) == "moth-night-tide-walk-moth-night-proof.png"
    assert proof_file_name(replace(job, name="../../\\?*"), None) == "job-proof.png"
