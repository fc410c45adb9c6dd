"""Tables: the shop's copy counts, and every mistake names file and line."""

from pathlib import Path

import pytest

from layout_core.errors import TableError
from layout_core.shipped import shipped
from layout_core.tables import (
    MOST_TABLE_BYTES,
    Section,
    line_of,
    make_own_table,
    read_table,
    repeated,
    sections,
    table_path,
)
from layout_core.user_folders import config_folder

TEXT = """\
# gap = "9 in" in a comment is no value

[first]
gap = "0.25 in"   # a note
"line" = "1 mm"

["second one"]
gap = "3 mm"
[third]
other = 1
"""


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "t.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def section(tmp_path: Path, line: str) -> Section:
    path = tmp_path / "t.toml"
    path.write_text(f"# head\n[block]\n{line}\n", encoding="utf-8")
    return sections(path)[0]


def test_the_shipped_table_counts_until_the_shop_has_its_own() -> None:
    assert table_path("placements.toml") == shipped("resources", "placements.toml")
    own = make_own_table("placements.toml")
    assert own == config_folder() / "placements.toml" == table_path("placements.toml")
    assert own.read_bytes() == shipped("resources", "placements.toml").read_bytes()


def test_making_an_own_table_twice_keeps_what_the_shop_wrote() -> None:
    own = make_own_table("placements.toml")
    own.write_text("# ours\n", encoding="utf-8")
    assert make_own_table("placements.toml").read_text(encoding="utf-8") == "# ours\n"


@pytest.mark.parametrize(
    ("key", "name", "line"),
    [
        ("gap", "first", 4),
        ("line", "first", 5),
        ("gap", "second one", 8),
        ("gap", "third", 9),  # not set there: the section's own line, never another section's key
        ("other", "third", 10),
        ("gap", "absent", 1),
        ("gap", "", 1),
    ],
)
def test_a_line_is_found_in_its_own_section(table: Path, key: str, name: str, line: int) -> None:
    assert line_of(table, key, name) == line


def test_sections_come_in_the_order_of_the_file(table: Path) -> None:
    assert [block.name for block in sections(table)] == ["first", "second one", "third"]


def test_a_mistake_in_toml_names_file_and_line(tmp_path: Path) -> None:
    path = tmp_path / "t.toml"
    path.write_text("[a]\nb = = 1\n", encoding="utf-8")
    with pytest.raises(TableError, match=r"^t\.toml: is no sound TOML: .*line 2"):
        read_table(path)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xff\xfe[a]", "not UTF-8"),
        (b"a = 1", "line 1: a stands outside"),
        (b"", "no \\[block\\]"),
        (b"x" * (MOST_TABLE_BYTES + 1), "too long for a table"),
        (b"a = " + b"9" * 5_000, "no sound TOML"),
        (b"a = 2026-99-99", "no sound TOML"),
        (b"a = 9223372036854775808", "more than 64 bits"),
        (b"[a]\nb = [{ c = -9223372036854775809 }]", "more than 64 bits"),
        (b"a = 0x" + b"F" * 5_000, "more than 64 bits"),
        (b"a = " + b"[" * 100_000, "nested too deeply|no sound TOML"),
    ],
)
def test_what_is_no_table_is_refused_in_one_line(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "t.toml"
    path.write_bytes(data)
    with pytest.raises(TableError, match=words) as caught:
        sections(path)
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith("t.toml")


def test_a_table_of_exactly_the_most_bytes_is_read(tmp_path: Path) -> None:
    path = tmp_path / "t.toml"
    head = b"[a]\nb = 1\n#"
    path.write_bytes(head + b"x" * (MOST_TABLE_BYTES - len(head)))
    assert read_table(path) == {"a": {"b": 1}}


def test_a_missing_table_is_refused(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="cannot be read"):
        read_table(tmp_path / "absent.toml")
    with pytest.raises(TableError, match="cannot be read"):
        read_table(tmp_path)


def test_windows_line_ends_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    path = tmp_path / "t.toml"
    path.write_bytes(b"\xef\xbb\xbf[a]\r\nb = '1 in'\r\n")
    assert sections(path)[0].length_mm("b") == 25.4
    assert line_of(path, "b", "a") == 2


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [("0.25 in", 6.35), ('3/8"', 9.525), ("28.6 cm", 286.0), ("0 in", 0.0), ("12 mm", 12.0)],
)
def test_a_length_with_its_unit_is_read(tmp_path: Path, text: str, length_mm: float) -> None:
    assert section(tmp_path, f"a = '{text}'").length_mm("a") == pytest.approx(length_mm)


@pytest.mark.parametrize("value", ['"0.25"', "0.25", "true", '""', '"far"', '"-1 in"', '"2e9 in"', "[]"])
def test_a_length_that_cannot_be_read_names_its_line(tmp_path: Path, value: str) -> None:
    with pytest.raises(TableError, match=r"^t\.toml, line 3: a "):
        section(tmp_path, f"a = {value}").length_mm("a")


def test_a_minus_is_read_only_where_it_makes_sense(tmp_path: Path) -> None:
    assert section(tmp_path, 'a = "-4 in"').signed_length_mm("a") == pytest.approx(-101.6)
    assert section(tmp_path, 'a = "4 in"').signed_length_mm("a") == pytest.approx(101.6)


@pytest.mark.parametrize("value", ["nan", "inf", "1e7", "true", '"1"', "9" * 18])
def test_a_number_is_finite_and_a_number(tmp_path: Path, value: str) -> None:
    with pytest.raises(TableError, match="line 3"):
        section(tmp_path, f"a = {value}").number("a")


def test_whole_numbers_flags_texts_and_choices_are_strict(tmp_path: Path) -> None:
    assert section(tmp_path, "a = 6").whole("a") == 6
    assert section(tmp_path, "a = true").flag("a") is True
    assert section(tmp_path, "a = 'x'").choice("a", ("x", "y")) == "x"
    with pytest.raises(TableError, match="whole number"):
        section(tmp_path, "a = 6.5").whole("a")
    with pytest.raises(TableError, match="true or false"):
        section(tmp_path, "a = 1").flag("a")
    with pytest.raises(TableError, match="one of x, y"):
        section(tmp_path, "a = 'z'").choice("a", ("x", "y"))
    with pytest.raises(TableError, match="not a text"):
        section(tmp_path, "a = ' '").text("a")


def test_a_misspelt_or_missing_key_is_named(tmp_path: Path) -> None:
    block = section(tmp_path, "gpa = 1")
    with pytest.raises(TableError, match="line 3: gpa is not known here; the keys are gap"):
        block.only(["gap"])
    with pytest.raises(TableError, match=r"line 2: gap is missing from \[block\]"):
        block.number("gap")


def test_blocks_that_repeat_are_told_apart_by_line(tmp_path: Path) -> None:
    path = tmp_path / "t.toml"
    path.write_text("name = 'x'\n[[piece]]\na = 1\n\n[[piece]]\na = 'one'\n", encoding="utf-8")
    head = Section(path, "", read_table(path))
    first, second = repeated(head, "piece")
    assert first.number("a") == 1
    with pytest.raises(TableError, match="line 6: a is “one”, not a number"):
        second.number("a")
    with pytest.raises(TableError, match="line 5: b is missing"):
        second.text("b")
    assert repeated(head, "absent") == ()
    with pytest.raises(TableError, match=r"line 1: name must be blocks that begin with \[\[name\]\]"):
        repeated(head, "name")
