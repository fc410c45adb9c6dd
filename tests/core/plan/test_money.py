"""Money in whole coins: exact, shared to the last one."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import PlanError
from layout_core.plan.money import amount_of, coins, shares, written


@given(st.integers(0, 10**9), st.lists(st.integers(0, 10**9), min_size=1, max_size=12))
def test_shares_add_up_to_the_coin_and_stay_within_one_of_fair(total: int, weights: list[int]) -> None:
    if not any(weights):
        weights[0] = 1
    parts = shares(total, weights)
    assert sum(parts) == total
    whole = sum(weights)
    assert all(
        abs(part * whole - total * weight) < whole for part, weight in zip(parts, weights, strict=True)
    )
    assert all(part == 0 for part, weight in zip(parts, weights, strict=True) if weight == 0)


def test_the_coin_left_over_goes_to_the_largest_fraction() -> None:
    """100 by 1:1:1 is 33.3 each: the first gets the coin; 100 by 2:1 is 66.7 and 33.3."""
    assert shares(100, [1, 1, 1]) == (34, 33, 33)
    assert shares(100, [1, 2]) == (33, 67)


def test_a_cost_without_anybody_to_share_it_is_refused() -> None:
    assert shares(0, [0, 0]) == (0, 0)
    with pytest.raises(PlanError):
        shares(1, [0, 0])


@pytest.mark.parametrize(
    ("amount", "count"), [("0.005", 1), ("0.0049", 0), ("2.675", 268), ("1000000.015", 100000002)]
)
def test_halves_of_a_coin_round_up(amount: str, count: int) -> None:
    """2.675 as a binary fraction would be 2.67499...; exact amounts round as on paper."""
    assert coins(Decimal(amount), 2) == count


def test_amounts_are_written_with_all_their_places() -> None:
    assert written(amount_of(123450, 2), "$") == "$1,234.50"
    assert written(amount_of(-900, 2), "EUR") == "-EUR 9.00"
    assert written(amount_of(12, 0), "¥") == "¥12"
