"""Every published figure in the table that the model computes, within its tolerance.

Source: named a row in tests/data/glow_checks.csv; rows marked “memory” there are marked so here.
"""

import pytest

from tests.core.glow.rows import Row, held, load_rows

ROWS = load_rows()


def name(row: Row) -> str:
    mark = "" if row.is_verified else " (memory)"
    return f"{row.quantity} {row.condition}"[:70] + mark


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_a_published_figure_holds(row: Row) -> None:
    verdict = held(row, ROWS)
    if verdict is None:
        pytest.skip("law, quotation or fact that the model does not compute")
    assert verdict, row


def test_most_rows_are_figures_of_the_model() -> None:
    verified = [row for row in ROWS if row.is_verified]
    assert len(verified) == 162
    assert sum(held(row, ROWS) is not None for row in verified) == 145


@pytest.mark.parametrize(
    ("quantity", "value"),
    [("MAR", "4.9"), ("afterglow_luminance_class", "30"), ("S/P", "3.0"), ("MES2_m", "0.3")],
)
def test_a_wrong_figure_is_noticed(quantity: str, value: str) -> None:
    """The table's checks can fail: one figure of each kind, made wrong here."""
    first = next(row for row in ROWS if row.quantity == quantity)
    wrong = Row(first.quantity, first.condition, value, first.tolerance, first.source, True)
    rows = tuple(wrong if row is first else row for row in ROWS)
    assert held(wrong, rows) is False
