"""Tables: every column is in sight, whatever the width of the window."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.panels.table_model import Cell, TableModel
from app.widgets.table import Table, shares
from tests.window_kit import throw_away


@given(st.lists(st.integers(1, 400), min_size=1, max_size=8), st.integers(0, 2000), st.data())
def test_columns_fill_their_room_and_the_widest_give_way(
    wishes: list[int], room: int, data: st.DataObject
) -> None:
    stretched = data.draw(st.integers(0, len(wishes) - 1))
    given_px = shares(wishes, room, stretched)
    if sum(wishes) <= room:
        assert sum(given_px) == room
        assert all(
            px == wish for at, (px, wish) in enumerate(zip(given_px, wishes, strict=True)) if at != stretched
        )
        return
    assert all(px <= wish for px, wish in zip(given_px, wishes, strict=True))
    assert all(px >= min(wish, 40) for px, wish in zip(given_px, wishes, strict=True))
    if room < 40 * len(wishes):
        return
    assert sum(given_px) == room
    cut = [px for px, wish in zip(given_px, wishes, strict=True) if px < wish]
    assert max(given_px) - min(cut) <= len(wishes), "none is cut while another keeps much more"


@pytest.mark.gui
@pytest.mark.parametrize("width_px", [260, 420, 900])
def test_a_table_never_scrolls_sideways(qtbot: QtBot, width_px: int) -> None:
    model = TableModel(("Piece", "Garment", "Sizes", "Garments"), figures=(3,))
    table = Table("Lines", model, grows=False)
    long = "A name that goes on and on, and then some more of it"
    model.show_rows([(Cell(long), Cell("long-sleeved tee"), Cell("M 12, L 8, XL 4"), Cell("24", True))])
    table.resize(width_px, 200)
    table.show()
    head = table.horizontalHeader()
    qtbot.waitUntil(lambda: head.length() == table.viewport().width())
    model.show_rows([(Cell(long), Cell("tee"), Cell("M 1"), Cell("1", True))] * 3)
    qtbot.waitUntil(lambda: head.length() == table.viewport().width())
    assert table.horizontalScrollBarPolicy() is Qt.ScrollBarPolicy.ScrollBarAlwaysOff
    assert all(head.sectionSize(at) >= 40 for at in range(4))
    throw_away(table)
