"""Lists of names: separators, encodings, columns, and every mistake told by its row."""

from pathlib import Path

import pytest

from layout_core.errors import NameListError
from layout_core.job.name_list import (
    MOST_BYTES,
    MOST_LISTED,
    MOST_ROWS,
    NameRow,
    list_text,
    names_from_bytes,
    read_list_text,
    read_names,
)


def rows(data: bytes | str) -> list[tuple[int, str, str, int]]:
    raw = data.encode() if isinstance(data, str) else data
    return [(row.row, row.name, row.number, row.copies) for row in names_from_bytes("crew.csv", raw).rows]


def refusal(data: bytes | str) -> str:
    with pytest.raises(NameListError) as caught:
        rows(data)
    text = str(caught.value)
    assert text.startswith("crew.csv: ")
    assert "\n" not in text
    assert len(text) < 240
    return text


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_comma_semicolon_and_tab_are_told_apart(separator: str, end: str) -> None:
    lines = ["name;number;copies", "Ina;7;2", "Orla;;1"]
    text = end.join(line.replace(";", separator) for line in lines)
    assert rows(text) == [(2, "Ina", "7", 2), (3, "Orla", "", 1)]


def test_another_separator_inside_the_cells_does_not_mislead() -> None:
    assert rows('name;copies\n"a, b, c";1\nd,e;2\n') == [(2, "a, b, c", "", 1), (3, "d,e", "", 2)]
    assert rows('copies,name\n3,"Ina; the second"\n') == [(2, "Ina; the second", "", 3)]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "cp1252"]
)
def test_the_usual_encodings_are_read(encoding: str) -> None:
    assert rows("name,copies\nZoë Ångé,1\n".encode(encoding)) == [(2, "Zoë Ångé", "", 1)]


def test_letters_beyond_latin_come_through_in_unicode() -> None:
    for encoding in ("utf-8", "utf-16"):
        assert [row[1] for row in rows("name\nליל\nНочь\n".encode(encoding))] == ["ליל", "Ночь"]


def test_a_bare_list_needs_no_heading() -> None:
    assert [row[:2] for row in rows("Ina\nOrla\n\n  Zoë  B \n")] == [(1, "Ina"), (2, "Orla"), (4, "Zoë B")]
    assert [row[1] for row in rows("Ina;;\nOrla;;\n")] == ["Ina", "Orla"]


def test_headings_are_read_whatever_their_capitals_and_order() -> None:
    assert rows(" COPIES , Name \n2,Ina\n") == [(2, "Ina", "", 2)]
    assert rows("number\n7\n12\n") == [(2, "", "7", 1), (3, "", "12", 1)]


def test_words_of_a_row() -> None:
    assert NameRow(2, "Ina", "7").words == "Ina 7"
    assert NameRow(2, "", "7").words == "7"


def test_nothing_and_no_names_are_told_apart() -> None:
    assert "has no names" in refusal(b"")
    assert "has no names" in refusal("\n \n;;\n")
    assert "a heading but no names" in refusal("name,copies\n")


def test_unknown_columns_are_named() -> None:
    text = refusal("name,shirt,size\nIna,red,M\n")
    assert "“shirt”, “size”" in text
    assert "name, number, copies" in text
    assert "“without a heading”" in refusal("name,,copies\nIna,x,1\n")


def test_a_column_twice_or_none_to_print_is_refused() -> None:
    assert "“name” twice" in refusal("name,Name\na,b\n")
    assert "no column “name” or “number”" in refusal("copies\n3\n")


def test_rows_without_a_name_are_told_by_their_number() -> None:
    assert "row 3: no name" in refusal("name,copies\nIna,1\n,2\n")
    many = refusal("name,copies\n" + ",2\n" * 9)
    assert "rows 2, 3, 4, 5, 6, 7 and 3 more: no name" in many
    assert "row 2: no number" in refusal("number,copies\n,1\n")


def test_rows_with_other_mistakes_are_told_by_their_number() -> None:
    assert "row 2: more cells than columns" in refusal("name,copies\nIna,1,x\n")
    assert "row 3: over 60 letters" in refusal(f"name\nIna\n{'x' * 61}\n")
    for wrong in ("-1", "1.5", "two", "1001", "9999999", "²", "١"):
        assert "row 2: copies that are no whole number" in refusal(f"name,copies\nIna,{wrong}\n")


def test_a_list_of_ten_thousand_names_is_answered_with_the_limit() -> None:
    text = refusal("name\n" + "".join(f"walker {number}\n" for number in range(10_000)))
    assert f"has 10,000 names; the most is {MOST_ROWS} at a time" in text
    assert len(rows("name\n" + "x\n" * MOST_ROWS)) == MOST_ROWS


def test_what_is_no_list_is_refused() -> None:
    for data in (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"PK\x03\x04" + bytes(50), b"\xff\xfeA", b"\0" * 40):
        assert "is no text file" in refusal(data)
    assert "more than a list of names" in refusal(b"x" * (MOST_BYTES + 1))
    assert "broken as a table" in refusal('name\n"' + "x" * 200_000 + '"\n')


def test_a_file_that_cannot_be_opened_is_named(tmp_path: Path) -> None:
    with pytest.raises(NameListError, match=r"gone\.csv: cannot be opened"):
        read_names(tmp_path / "gone.csv")
    with pytest.raises(NameListError, match="is not a file"):
        read_names(tmp_path)
    path = tmp_path / "crew.csv"
    path.write_bytes("name\nIna\n".encode("utf-16"))
    assert read_names(path).rows == (NameRow(2, "Ina"),)


def test_a_longer_list_can_be_looked_at_before_it_is_cut() -> None:
    data = b"name\n" + b"x\n" * 10_000
    assert len(names_from_bytes("crew.csv", data, MOST_LISTED).rows) == 10_000
    with pytest.raises(NameListError, match=r"has 20,001 names; the most is 20,000 at a time"):
        names_from_bytes("crew.csv", b"name\n" + b"x\n" * 20_001, MOST_LISTED)


@pytest.mark.parametrize(
    "rows",
    [
        (NameRow(2, "Ada", "7", 2), NameRow(3, "Zoë, the first")),
        (NameRow(2, "", "7"), NameRow(3, "", "12", 0)),
    ],
)
def test_rows_written_as_a_list_read_back_as_they_were(rows: tuple[NameRow, ...]) -> None:
    assert names_from_bytes("the list", list_text(rows).encode()).rows == rows


def test_the_text_of_a_list_is_read_whatever_its_encoding(tmp_path: Path) -> None:
    path = tmp_path / "crew.csv"
    path.write_bytes("Zoë\n".encode("utf-16"))
    assert read_list_text(path) == "Zoë\n"
    path.write_bytes(b"x" * (MOST_BYTES + 1))
    with pytest.raises(NameListError, match="over 2 MB"):
        read_list_text(path)
