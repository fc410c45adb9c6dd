"""Print limits: the shipped values and every mistake in a table of one's own."""

from dataclasses import fields, replace
from pathlib import Path

import pytest

from layout_core.errors import TableError
from layout_core.job.limits import PrintLimits, limit_names, limits_fault, load_limits
from layout_core.shipped import shipped
from layout_core.tables import make_own_table
from tests.make import GLOW

SHIPPED = shipped("resources", "print_limits.toml").read_text(encoding="utf-8")


def test_the_shipped_limits_are_the_trade_values() -> None:
    """Common practice, no source; the sheet lengths from memory; the smallest element invented."""
    limits = load_limits()
    for field in fields(PrintLimits):
        expected = getattr(GLOW, field.name)
        if not isinstance(expected, str):
            expected = pytest.approx(expected, rel=1e-12)
        assert getattr(limits, field.name) == expected, field.name
    assert limits.sheet_width_mm == 11.25 * 25.4
    assert limit_names() == ("glow",)


def test_an_unknown_name_lists_the_known_ones() -> None:
    with pytest.raises(
        TableError, match=r"print_limits\.toml: has no print limits called “fine”; it has glow"
    ):
        load_limits("fine")


def test_the_shops_own_table_counts() -> None:
    own = make_own_table("print_limits.toml")
    second = SHIPPED.replace("[glow]", '["other maker"]').replace('"0.028 in"', '"1 mm"')
    own.write_text(f"{SHIPPED}\n{second}", encoding="utf-8")
    assert limit_names() == ("glow", "other maker")
    assert load_limits("other maker").gap_mm == 1.0
    assert load_limits("other maker").name == "other maker"


def test_a_file_with_one_block_needs_no_name(tmp_path: Path) -> None:
    path = tmp_path / "maker.toml"
    path.write_text(SHIPPED.replace("[glow]", '["their own"]'), encoding="utf-8")
    assert load_limits(path=path).name == "their own"


def line_number(text: str, start: str) -> int:
    return next(n for n, line in enumerate(text.splitlines(), 1) if line.startswith(start))


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("line_caution", '"0.010 in"', "line_stop must not be above line_caution"),
        ("gap", '"0.028"', "not a length with its unit"),
        ("gap", "0.028", "not a length with its unit"),
        ("dot", '"0 in"', "must be more than 0"),
        ("margin", '"6 in"', "leaves nothing of the sheet"),
        ("smallest_run", "6.5", "not a whole number"),
        ("smallest_run", "0", "must be more than 0"),
        ("resolution_stop_dpi", "301", "resolution_stop_dpi must not be above resolution_wanted_dpi"),
        ("element_mm2", "nan", "beyond"),
        ("sheet_length_least", '"70 in"', "must not be above sheet_length_most"),
        ("sheet_width", '"9999 in"', "must be at most"),
    ],
)
def test_a_mistake_names_file_and_line(tmp_path: Path, key: str, value: str, words: str) -> None:
    lines = [f"{key} = {value}" if line.startswith(f"{key} =") else line for line in SHIPPED.splitlines()]
    path = tmp_path / "mine.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    named = "line_stop" if key == "line_caution" else key
    line = line_number(SHIPPED, f"{named} =")
    with pytest.raises(
        TableError, match=rf"^mine\.toml, line {line}: .*{words}|^mine\.toml, line {line}: {words}"
    ):
        load_limits(path=path)


def test_a_missing_and_a_misspelt_key_are_named(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(SHIPPED.replace("pinhole =", "pinhoel ="), encoding="utf-8")
    with pytest.raises(TableError, match=rf"line {line_number(SHIPPED, 'pinhole')}: pinhoel is not known"):
        load_limits(path=path)
    path.write_text(
        "\n".join(li for li in SHIPPED.splitlines() if not li.startswith("gap")), encoding="utf-8"
    )
    with pytest.raises(TableError, match=r"gap is missing from \[glow\]"):
        load_limits(path=path)


@pytest.mark.parametrize("name", [field.name for field in fields(PrintLimits) if field.name != "name"])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0])
def test_no_limit_may_be_negative_or_no_number(name: str, value: float) -> None:
    assert limits_fault(replace(GLOW, **{name: value})) is not None


def test_sound_limits_have_no_fault() -> None:
    assert limits_fault(GLOW) is None
    assert limits_fault(replace(GLOW, piece_gap_least_mm=0.0, piece_gap_mm=0.0, element_mm2=0.0)) is None
