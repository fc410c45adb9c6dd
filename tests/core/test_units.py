"""Lengths as people type and read them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import UnitsError, one_line
from layout_core.units import (
    LONGEST_MM,
    MM_PER_IN,
    Unit,
    inches,
    mm,
    parse_length_mm,
    write_area,
    write_length,
    write_number,
)

UNITS: tuple[Unit, ...] = ("in", "mm", "cm")
LENGTHS_MM = st.floats(0.0, LONGEST_MM * 0.999, allow_nan=False)


def test_an_inch_is_25_4_mm() -> None:
    """Source: NIST Special Publication 811 (2008), appendix B.8: 1 in = 2.54 E-02 m exactly."""
    assert MM_PER_IN == 25.4
    assert mm(1.0) == 25.4
    assert inches(25.4) == 1.0
    assert parse_length_mm("1 in") == 25.4


@pytest.mark.parametrize(
    ("text", "expected_mm"),
    [
        ("11.25", 285.75),
        ("11,25", 285.75),
        ("11 1/4", 285.75),
        ('11-1/4"', 285.75),
        ("11 - 1/4 in", 285.75),
        ("11¼", 285.75),
        ("11 ¼ inches", 285.75),
        ("11 1⁄4", 285.75),
        ("11.25″", 285.75),
        ("11.25”", 285.75),
        ("11.25''", 285.75),
        ("  11.25 IN.  ", 285.75),
        ("11\u00a01/4\u00a0in", 285.75),
        ("3/8 in", 9.525),
        ("3 / 8", 9.525),
        ("½", 12.7),
        ("½in", 12.7),
        ("⅞ inch", 22.225),
        ("⅓", 25.4 / 3),
        ("286mm", 286.0),
        ("286 millimetres", 286.0),
        ("28.6 cm", 286.0),
        ("28,6cm", 286.0),
        ("1/2 cm", 5.0),
        ("1,125", 28.575),
        (".5", 12.7),
        (",5", 12.7),
        ("5.", 127.0),
        ("+2", 50.8),
        ("0", 0.0),
        ("-0", 0.0),
        ("1000000 mm", LONGEST_MM),
    ],
)
def test_accepted_spellings(text: str, expected_mm: float) -> None:
    assert parse_length_mm(text) == pytest.approx(expected_mm, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        "", "  ", "in", "wide", "nan", "inf", "1e5", "0x10", "11.25.5", "11,25,5", "1.125,5", "1,125.5",
        "11 1/4 1/2", "11 1/", "/4", "1/0", "1 1/0", "1//2", "11 25", "11¼5", "¼½", "1.5½", "1.5 1/2",
        "11 ft", "11'", "5 m", "5 mmm", "5 in in", "5 in 3", "-1", "-1/4", "- 3 mm", "--3", "3-", "−3",
        "1000000.1 mm", "99999999999", "1" * 61, "1" + " " * 100_000 + "x", "5\x00", "5 in; 6",
    ],
)  # fmt: skip
def test_refused_spellings_say_how_to_write_it(text: str) -> None:
    with pytest.raises(UnitsError) as refusal:
        parse_length_mm(text)
    message = str(refusal.value)
    assert one_line(text.strip()[:40]) in message
    assert len(message) < 200


def test_a_bare_number_is_in_the_default_unit() -> None:
    assert parse_length_mm("12", "mm") == 12.0
    assert parse_length_mm("12", "cm") == 120.0
    assert parse_length_mm("12 mm", "in") == 12.0


@given(LENGTHS_MM, st.sampled_from(UNITS), st.integers(0, 6))
def test_what_is_written_reads_back_within_its_last_digit(length: float, unit: Unit, decimals: int) -> None:
    per_unit = {"in": 25.4, "mm": 1.0, "cm": 10.0}[unit]
    again = parse_length_mm(write_length(length, unit, decimals))
    assert abs(again - length) <= 0.5 * 10.0**-decimals * per_unit * (1 + 1e-9) + 1e-9 * length


@given(LENGTHS_MM, st.sampled_from(UNITS))
def test_writing_what_was_read_changes_nothing(length: float, unit: Unit) -> None:
    text = write_length(length, unit)
    assert write_length(parse_length_mm(text), unit) == text


@given(st.integers(0, 500), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_mixed_fractions_are_read_exactly(whole: int, numerator: int, denominator: int) -> None:
    expected = (whole + numerator / denominator) * 25.4
    assert parse_length_mm(f"{whole} {numerator}/{denominator}") == pytest.approx(expected, rel=1e-15)
    assert parse_length_mm(f'{whole}-{numerator}/{denominator}"') == pytest.approx(expected, rel=1e-15)


@given(st.text(max_size=80))
def test_any_text_is_a_length_or_refused(text: str) -> None:
    try:
        length = parse_length_mm(text)
    except UnitsError:
        return
    assert 0.0 <= length <= LONGEST_MM


@pytest.mark.parametrize(
    ("length_mm", "unit", "decimals", "text"),
    [
        (285.75, "in", None, "11.25 in"),
        (254.0, "in", None, "10 in"),
        (0.3556, "in", None, "0.014 in"),
        (286.0, "mm", None, "286 mm"),
        (286.04, "mm", None, "286 mm"),
        (286.0, "cm", None, "28.6 cm"),
        (100.0, "mm", 0, "100 mm"),
        (-0.00001, "in", None, "0 in"),
        (-0.2, "mm", 0, "0 mm"),
        (-25.4, "in", None, "-1 in"),
    ],
)
def test_lengths_are_written_without_trailing_zeros(
    length_mm: float, unit: Unit, decimals: int | None, text: str
) -> None:
    assert write_length(length_mm, unit, decimals) == text
    assert write_number(length_mm, unit, decimals) == text.split()[0]


@pytest.mark.parametrize(
    ("area_mm2", "unit", "text"),
    [
        (25.4**2 * 38.61, "in", "38.6 sq in"),
        (25.4**2 * 3.861, "in", "3.86 sq in"),
        (25.4**2 * 0.3861, "in", "0.386 sq in"),
        (24910.0, "mm", "249.1 sq cm"),
        (24910.0, "cm", "249.1 sq cm"),
    ],
)
def test_areas_show_three_figures(area_mm2: float, unit: Unit, text: str) -> None:
    assert write_area(area_mm2, unit) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_never_written(value: float) -> None:
    with pytest.raises(UnitsError):
        write_length(value)
    with pytest.raises(UnitsError):
        write_area(value)
