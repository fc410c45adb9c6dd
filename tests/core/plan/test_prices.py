"""The price list: the shipped example, and every mistake in a table of one's own."""

from decimal import Decimal
from pathlib import Path

import pytest

from layout_core.errors import PlanError, TableError
from layout_core.plan.prices import load_prices
from layout_core.shipped import shipped
from layout_core.tables import make_own_table
from layout_core.units import mm

SHIPPED = shipped("resources", "prices.toml").read_text(encoding="utf-8")


def test_the_shipped_list_says_that_it_is_an_example_and_adds_no_tax() -> None:
    prices = load_prices()
    assert prices.is_example
    assert prices.tax is None
    assert "INVENTED EXAMPLE" in SHIPPED


def test_a_sheet_takes_the_smallest_block_that_holds_it() -> None:
    prices = load_prices()
    assert prices.sheet(mm(11.25), mm(19)).length_mm == pytest.approx(mm(19))
    assert prices.sheet(mm(11.25), mm(19.5)).length_mm == pytest.approx(mm(24))
    with pytest.raises(PlanError, match=r"11\.25 x 61 in"):
        prices.sheet(mm(11.25), mm(61))


@pytest.mark.parametrize(
    ("ordered", "wanted"), [(1, 2), (24, 25), (33, 34), (34, 36), (100, 103), (101, 105)]
)
def test_spares_are_three_percent_rounded_up_and_at_least_one(ordered: int, wanted: int) -> None:
    """Common practice, no source: 2 to 3 % of each piece, at least one. 34 x 3 % is 1.02, so two."""
    assert load_prices().wanted(ordered) == wanted


def test_a_blank_is_found_in_any_spelling_and_never_guessed() -> None:
    prices = load_prices()
    assert prices.blank("Tee", "xxl") == prices.blank("tee", "2XL") == Decimal("5.20")
    with pytest.raises(PlanError, match="“7XL”"):
        prices.blank("tee", "7XL")
    with pytest.raises(PlanError, match="“cape”"):
        prices.blank("cape", "M")


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ('"7.50", 24', "7.5, 24", "quotes"),
        ('"9.00", 12', '"9,00", 12', "quotes"),
        ('{ 1 = "9.00", 12', '{ 2 = "9.00", 12', "begin with a run of 1"),
        ('{ 1 = "9.00", 12', '{ one = "9.00", 12', "not a run"),
        ('sheets = "12.00"', 'sheets = "-12.00"', "quotes"),
        ("decimals = 2 ", "decimals = 9 ", "from 0 to 4"),
        ('\nby = "markup"', '\nby = "luck"', "markup, margin"),
        ('by = "markup"\npercent = "60"', 'by = "margin"\npercent = "100"', "most"),
        ('2XL = "5.20"', 'vast = "5.20"', "no garment size"),
        ("[shipping]", "[shiping]", "not known"),
        ("on = false ", 'on = "no" ', "true or false"),
    ],
)
def test_a_mistake_names_file_and_line(old: str, new: str, word: str) -> None:
    path = make_own_table("prices.toml")
    assert old in SHIPPED
    path.write_text(SHIPPED.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError, match=rf"^prices.toml, line \d+: .*{word}"):
        load_prices()


def test_the_shops_own_copy_wins(tmp_path: Path) -> None:
    own = tmp_path / "ours.toml"
    own.write_text(
        SHIPPED.replace("example = true", "example = false").replace('"$"', '"EUR"'), encoding="utf-8"
    )
    prices = load_prices(own)
    assert (prices.is_example, prices.currency) == (False, "EUR")
