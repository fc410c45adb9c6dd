"""What a stranger's file says is shown as written; one that kills its reader harms nothing else."""

from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction, QColor, QImage, QTextDocument
from PySide6.QtGui import Qt as GuiQt
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLabel, QTextEdit, QWidget
from pytestqt.qtbot import QtBot

from app.panels.station_figures import STATIONS
from app.widgets.labels import ElidedLabel
from app.widgets.plain_tip import plain_tip
from app.window import MainWindow
from app.wiring import Workbench
from layout_core.art import sandbox
from layout_core.checks.run import check_job
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job, OrderLine
from layout_core.outputs.drawing_svg import to_svg
from layout_core.outputs.order_list import order_csv
from layout_core.outputs.proof import layout_proof
from tests.make import make_artwork, svg_of
from tests.window_kit import WAIT_MS, main_window, settle, workbench

pytestmark = pytest.mark.gui


def hostile_job(markup: str) -> Job:
    """Every name of the job is markup."""
    job = edits.new_job(markup)
    job = edits.add_art(job, make_artwork(name=markup))
    job = edits.add_piece(job, job.arts[0].art_id, name=markup)
    piece_id, sheet_id = job.pieces[0].piece_id, job.sheets[0].sheet_id
    order_id = job.next_id
    job = edits.add_order(job, markup, markup)
    lines = [OrderLine(0, piece_id, markup, markup, (("M", 3),), fabric=markup)]
    job = edits.set_order_lines(job, order_id, lines)
    job = edits.change_sheet(job, sheet_id, name=markup)
    return edits.place_piece(job, sheet_id, piece_id, Pose(120, 120))


@pytest.fixture
def markup(tmp_path: Path) -> str:
    """A picture that is there, wanted in a name."""
    picture = QImage(8, 8, QImage.Format.Format_RGB32)
    picture.fill(QColor("red"))
    assert picture.save(str(tmp_path / "p.png"))
    return f'<img src="{tmp_path}/p.png">'[:110]


@pytest.fixture
def bench(qapp: QApplication, markup: str) -> Iterator[Workbench]:
    with workbench(qapp, hostile_job(markup)) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def _cells(model: QAbstractItemModel, parent: QModelIndex | None = None) -> Iterator[QModelIndex]:
    parent = QModelIndex() if parent is None else parent
    for row in range(model.rowCount(parent)):
        # The count of columns of a list model is private.
        for column in range(1 if isinstance(model, QAbstractListModel) else model.columnCount(parent)):
            yield model.index(row, column, parent)


def _rich_words(window: QWidget) -> list[str]:
    """What of the window Qt would take for markup."""
    found = [
        f"label {one.text()}"
        for one in window.findChildren(QLabel)
        if one.textFormat() is not Qt.TextFormat.PlainText and GuiQt.mightBeRichText(one.text())
    ]
    tips = [one.toolTip() for one in window.findChildren(QWidget)]
    tips += [one.toolTip() for one in window.findChildren(QAction)]
    for view in window.findChildren(QAbstractItemView):
        if view.model() is not None:
            tips += [str(cell.data(Qt.ItemDataRole.ToolTipRole) or "") for cell in _cells(view.model())]
    found += [f"tip {tip}" for tip in tips if "<img" in tip and GuiQt.mightBeRichText(tip)]
    found += [f"document {one.toHtml()}" for one in window.findChildren(QTextEdit) if "<img" in one.toHtml()]
    return found


def test_markup_in_names_is_shown_literally_at_every_station(
    window: MainWindow, qtbot: QtBot, markup: str
) -> None:
    bench = window.bench
    settle(qtbot, bench)
    shown = 0
    for number, _ in enumerate(STATIONS, 1):
        for choice in ([], [bench.document.job.sheets[0].placed[0].placed_id]):
            bench.selection.choose_placed(choice)
            qtbot.keyClick(  # type: ignore[no-untyped-call]
                window, Qt.Key(Qt.Key.Key_0 + number), Qt.KeyboardModifier.AltModifier
            )
            window.grab()
            assert _rich_words(window) == []
            shown += sum(markup in one.text() for one in window.findChildren(QLabel))
    assert shown > 0, "no label names the piece, so the test saw nothing"


def test_a_label_that_took_markup_would_be_found(window: MainWindow) -> None:
    bad = QLabel('<img src="x">', window)
    tipped = QWidget(window)
    tipped.setToolTip("<img src='x'>")
    assert len(_rich_words(window)) == 2
    bad.setTextFormat(Qt.TextFormat.PlainText)
    tipped.setToolTip(plain_tip("<img src='x'>"))
    assert _rich_words(window) == []


@pytest.mark.parametrize("words", ['<img src="x">', "a & b\n<b>c</b>", "<p>“é” & 'x'</p>\nline"])
def test_a_tool_tip_shows_markup_as_it_is_written(qapp: QApplication, words: str) -> None:
    document = QTextDocument()
    tip = plain_tip(words)
    if GuiQt.mightBeRichText(tip):
        document.setHtml(tip)
    else:
        document.setPlainText(tip)
    assert document.toPlainText() == words
    assert plain_tip("a & b < c\nd") == "a & b < c\nd"


def test_a_shortened_label_tells_the_whole_as_it_is_written(qapp: QApplication) -> None:
    label = ElidedLabel('<img src="x.png">')
    label.resize(30, 20)
    label.grab()
    assert label.toolTip() == plain_tip('<img src="x.png">') != '<img src="x.png">'


def test_proof_and_order_list_hold_markup_as_words(bench: Workbench, markup: str) -> None:
    job = bench.document.job
    drawn = to_svg(layout_proof(job, check_job(job)))
    assert "<img" not in drawn
    assert "<image" not in drawn
    assert markup.replace('"', '""') in order_csv(job).decode("utf-8-sig")


_DYING = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); import os; from layout_core.art import pipe\n"
    "out = sys.stdout.buffer; pipe.write_frame(out, {'kind': 'ready'})\n"
    "pipe.read_frame(sys.stdin.buffer); os.abort()"
)


def test_a_worker_that_dies_is_told_and_the_work_goes_on(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One file aborts its process, as a renderer does; the next file and the job are as ever."""
    bench = window.bench
    settle(qtbot, bench)
    before = bench.document.job
    monkeypatch.setattr(sandbox.python_process, "__defaults__", (_DYING,))
    sandbox.SHARED.close()
    bench.art_import.add_bytes([("killer.svg", b"<svg/>")])
    qtbot.waitUntil(lambda: bench.notices.last is not None, timeout=WAIT_MS)
    words = str(bench.notices.last)
    assert "killer.svg" in words
    assert "killer.svg" in window.notice.text
    assert "drawing engine fail" in words
    assert bench.document.job is before
    assert window.isVisible()
    monkeypatch.undo()
    bench.art_import.add_bytes([("good.svg", svg_of(make_artwork(shapely.box(0, 0, 30, 30)).outline))])
    qtbot.waitUntil(lambda: len(bench.document.job.arts) == len(before.arts) + 1, timeout=WAIT_MS)
    settle(qtbot, bench)
