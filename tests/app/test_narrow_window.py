"""The least window with the longest names: it stays narrow, and nothing in it is cut off."""

from collections.abc import Iterator
from functools import partial
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.panels.station_figures import STATIONS
from app.widgets.marks import Mark
from app.window import MainWindow
from layout_core.job import edits
from layout_core.job.model import Job
from tests.window_kit import main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui

HALF_A_SCREEN_PX = 960
LONG = "Annual coastal moth survey and lantern walk by the tide pools of the northern shore"


def long_names() -> Job:
    job = edits.rename_job(shop_job(), LONG)
    for piece in job.pieces:
        job = edits.change_piece(job, piece.piece_id, name=f"{LONG} {piece.piece_id}")
    job = edits.change_order(job, job.orders[0].order_id, name=LONG, customer=LONG)
    job = edits.set_ink_name(job, LONG[:40])
    return edits.change_sheet(job, job.sheets[0].sheet_id, name=LONG)


@pytest.fixture(params=["in", "mm"])
def window(qapp: QApplication, request: pytest.FixtureRequest) -> Iterator[MainWindow]:
    with workbench(qapp, long_names()) as bench, main_window(bench, 400, 700) as shown:
        bench.settings.change(unit=request.param)
        yield shown


def states(window: MainWindow, qtbot: QtBot) -> Iterator[str]:
    settle(qtbot, window.bench)
    first = window.bench.document.job.sheets[0].placed[0].placed_id
    for station in STATIONS:
        for chosen in ((), (first,)):
            window.bench.selection.choose_placed(chosen)
            window.go_to(station)
            QApplication.processEvents()
            yield f"{station}, {len(chosen)} chosen"


def columns(window: QWidget) -> list[QScrollArea]:
    return [one for one in window.findChildren(QScrollArea) if one.isVisible() and one.widget() is not None]


def test_the_least_window_fits_half_a_screen_and_cuts_no_column(window: MainWindow, qtbot: QtBot) -> None:
    seen = 0
    for state in states(window, qtbot):
        assert window.width() <= HALF_A_SCREEN_PX, state
        for column in columns(window):
            seen += 1
            body = column.widget()
            assert body is not None
            assert body.minimumSizeHint().width() <= column.viewport().width(), (state, column)
    assert seen > 5


def test_every_menu_stays_whatever_the_job_is_called(window: MainWindow, qtbot: QtBot) -> None:
    settle(qtbot, window.bench)
    bar = window.menus
    right = [bar.actionGeometry(action).right() for action in bar.actions()]
    assert min(right) > 0
    assert max(right) <= bar.width()
    assert bar.mapTo(window, QPoint(bar.width(), 0)).x() <= window.width()


def test_fields_of_the_strip_give_way_before_they_overlap(window: MainWindow, qtbot: QtBot) -> None:
    settle(qtbot, window.bench)
    strip = window.lights_out
    for width in range(940, 1260, 20):
        window.resize(width, 700)
        QApplication.processEvents()
        shown = [
            one for one in (strip.minutes, strip.distance, strip.light, strip.as_table) if one.isVisible()
        ]
        shown.sort(key=lambda one: one.x())
        for left, right in pairwise(shown):
            assert left.geometry().right() < right.geometry().left(), width


def test_what_was_refused_is_told_until_the_next_change_is_taken(window: MainWindow, qtbot: QtBot) -> None:
    bench, orders = window.bench, window.art_page.orders
    window.go_to("art")
    head = "design\tplacement\tgarment\tcolour\tM"
    for row, said in (("Block & tackle\tnowhere\ttee\tnavy\t5", "nowhere"), ("", "")):
        bench.app.clipboard().setText(f"{head}\n{row}")
        QTest.mouseClick(orders.paste_button, Qt.MouseButton.LeftButton)
        assert window.notice.isVisible()
        assert window.notice.mark is Mark.CAUTION
        assert bench.notices.last is not None
        assert said in bench.notices.last.text
        assert bench.document.undo_stack.count() == (0 if said else 1)
        bench.document.apply("Rename", partial(edits.rename_job, name=f"Moth {said}"))
        assert not window.notice.isVisible()
