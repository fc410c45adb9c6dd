"""Order lines from a spreadsheet: what is read, what is refused by name, and the pieces they make."""

from pathlib import Path

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import LayoutError, OrderListError
from layout_core.job import edits
from layout_core.job.garment_sizes import GROUPS, group_of, size_named
from layout_core.job.model import Job
from layout_core.job.order_lines import OrderRow, order_rows, read_order_rows
from layout_core.units import mm
from tests.make import GLOW, make_artwork

HEAD = "Design\tPlacement\tGarment\tColor\tYM\tM\tXXL\n"
ROW = "moth\tFull Front\ttee\tblack\t4\t12\t3\n"


def job_with_art() -> tuple[Job, int]:
    job = edits.add_art(edits.new_job("Lines", GLOW), make_artwork(shapely.box(0, 0, 50, 40), "moth.svg"))
    order_id = job.next_id
    return edits.add_order(job, "Moth night", "Lamp Keepers"), order_id


def test_a_pasted_table_is_read_with_its_sizes_smallest_first() -> None:
    assert order_rows(HEAD + ROW) == (
        OrderRow(2, "moth", "Full Front", "tee", "black", (("YM", 4), ("M", 12), ("2XL", 3))),
    )


@pytest.mark.parametrize("separator", ["\t", ",", ";"])
def test_tab_comma_and_semicolon_part_the_columns(separator: str) -> None:
    assert order_rows((HEAD + ROW).replace("\t", separator)) == order_rows(HEAD + ROW)


def test_a_csv_file_is_read_with_or_without_its_mark(tmp_path: Path) -> None:
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        path = tmp_path / "order.csv"
        path.write_bytes((HEAD + ROW).encode(encoding))
        assert read_order_rows(path) == order_rows(HEAD + ROW)


def test_blank_rows_and_rows_that_order_nothing_are_passed_over() -> None:
    rows = order_rows(HEAD + "\n" + "moth\tsleeve\ttee\tblack\t\t0\t-\n" + ROW + "\t\t\t\t\t\t\n")
    assert [row.row for row in rows] == [4]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "hold nothing"),
        (HEAD, "order nothing"),
        (HEAD.replace("XXL", "Huge") + ROW, "“Huge”"),
        (HEAD.replace("\tGarment", "\t") + ROW, "no heading"),
        (HEAD.replace("\tGarment", "") + ROW, "no column for garment"),
        ("design,placement,garment,colour\na,b,c,d\n", "no column for any size"),
        (HEAD.replace("YM", "2XL") + ROW, "“2XL” stands twice"),
        (HEAD + ROW.replace("12", "a dozen"), "row 2: M is “a dozen”"),
        (HEAD + ROW.replace("12", "-1"), "row 2: M is “-1”"),
        (HEAD + ROW.replace("12", "1000000"), "row 2: M is 1,000,000; the most of one size is 100,000"),
        (HEAD + ROW.replace("tee", ""), "row 2: no garment"),
        (HEAD + ROW.replace("\n", "\t5\n"), "row 2: has more cells"),
        (HEAD + ROW * 1001, "the most is 1,000"),
        ('design,placement,garment,colour,M\n"a,b\n' + "x" * 200_000, "broken"),
    ],
)
def test_nothing_is_guessed(text: str, words: str) -> None:
    with pytest.raises(OrderListError) as refusal:
        order_rows(text)
    assert words in str(refusal.value)


def test_a_file_that_is_no_list_is_named(tmp_path: Path) -> None:
    picture = tmp_path / "moth.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    for path in (picture, tmp_path / "gone.csv", tmp_path):
        with pytest.raises(OrderListError, match=rf"^{path.name}: "):
            read_order_rows(path)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        rows = order_rows(text)
    except OrderListError:
        return
    assert all(row.count > 0 for row in rows)


@pytest.mark.parametrize(
    ("heading", "size"),
    [
        ("xxl", "2XL"),
        ("Youth M", "YM"),
        ("y-l", "YL"),
        ("kids small", "YS"),
        ("One Size", "one size"),
        ("4t", "4T"),
    ],
)
def test_sizes_are_known_in_other_spellings(heading: str, size: str) -> None:
    assert size_named(heading) == size
    assert group_of(heading) == GROUPS[size]


@pytest.mark.parametrize("heading", ["", "size", "price", "12", "Y", "MM", "7XL"])
def test_other_words_are_no_size(heading: str) -> None:
    assert size_named(heading) is None


def test_youth_adult_and_plus_sizes_get_pieces_of_their_own_width() -> None:
    """Common practice, no source: a full front is 9, 11 and 11.25 in wide."""
    job, order_id = job_with_art()
    job = edits.add_order_rows(job, order_id, order_rows(HEAD + ROW))
    widths = {piece.garment_size: piece.width_mm for piece in job.pieces}
    assert widths == {"youth": mm(9), "adult": mm(11), "plus": mm(11.25)}
    lines = job.order(order_id).lines
    assert [(job.piece(line.piece_id).garment_size, line.sizes) for line in lines] == [
        ("youth", (("YM", 4),)),
        ("adult", (("M", 12),)),
        ("plus", (("2XL", 3),)),
    ]


def test_sizes_printed_alike_share_one_piece() -> None:
    """Common practice, no source: a tote print has one width for everybody."""
    job, order_id = job_with_art()
    job = edits.add_order_rows(job, order_id, order_rows(HEAD + ROW.replace("Full Front", "tote")))
    assert len(job.pieces) == 1
    assert [line.sizes for line in job.order(order_id).lines] == [(("YM", 4), ("M", 12), ("2XL", 3))]


def test_a_second_list_uses_the_pieces_that_are_there() -> None:
    job, order_id = job_with_art()
    once = edits.add_order_rows(job, order_id, order_rows(HEAD + ROW))
    twice = edits.add_order_rows(once, order_id, order_rows(HEAD + ROW.replace("black", "navy")))
    assert twice.pieces == once.pieces
    assert len(twice.order(order_id).lines) == 6


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (ROW.replace("moth", "crab"), "row 2: the job has no art “crab”"),
        (ROW.replace("Full Front", "elbow"), "row 2: there is no placement “elbow”"),
    ],
)
def test_a_row_the_job_cannot_take_is_named(row: str, words: str) -> None:
    job, order_id = job_with_art()
    with pytest.raises(LayoutError) as refusal:
        edits.add_order_rows(job, order_id, order_rows(HEAD + row))
    assert words in str(refusal.value)
    assert job.pieces == ()
