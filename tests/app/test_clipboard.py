"""Pieces, pictures, SVG and files all come in by paste."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, Qt, QUrl
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.arrivals import DropPoint
from app.art_import import ArtImport
from app.clipboard import PIECES, Clipboard, can_take, pasted_art
from app.document import Document
from app.notices import Notices
from app.selection import Selection
from app.tasks import TaskRunner
from layout_core.geometry.pose import Pose
from tests.make import make_artwork, make_job
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui


class Bench:
    """What the clipboard needs, joined, round a job with two placed pieces."""

    def __init__(self, tasks: TaskRunner) -> None:
        self.document, self.notices = Document(), Notices()
        self.document.start_new(make_job([make_artwork()], poses=[(0, Pose(40, 40)), (0, Pose(120, 40))]))
        self.selection = Selection(self.document)
        self.importer = ArtImport(self.document, self.selection, tasks, self.notices)
        self.clipboard = Clipboard(
            QGuiApplication.clipboard(), self.document, self.selection, self.importer, self.notices
        )


@pytest.fixture
def bench(tasks: TaskRunner) -> Iterator[Bench]:
    QGuiApplication.clipboard().clear()
    yield Bench(tasks)
    QGuiApplication.clipboard().clear()


def disc() -> QImage:
    image = QImage(120, 120, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    painter.setBrush(QColor("black"))
    painter.drawEllipse(10, 10, 100, 100)
    painter.end()
    return image


class Gone:
    """A clipboard whose owner has just let go of it."""

    def mimeData(self) -> None:
        return None


def test_a_clipboard_that_holds_nothing_at_all_is_told(bench: Bench) -> None:
    clipboard = Clipboard(Gone(), bench.document, bench.selection, bench.importer, bench.notices)  # type: ignore[arg-type]
    clipboard.paste()
    assert bench.notices.last is not None
    assert "nothing here that can be pasted" in bench.notices.last.text


def test_copied_pieces_are_pasted_as_one_step_and_chosen(bench: Bench) -> None:
    bench.selection.choose_placed([301, 302])
    assert bench.clipboard.copy()
    bench.clipboard.paste()
    placed = bench.document.job.sheets[0].placed
    assert len(placed) == 4
    assert len(bench.document.job.pieces) == 1
    assert bench.selection.placed_ids == {p.placed_id for p in placed[2:]}
    assert bench.document.undo_stack.undoText() == "Paste 2 pieces"


def test_pieces_can_be_pasted_at_a_point_after_they_were_deleted(bench: Bench) -> None:
    bench.selection.choose_placed([302])
    bench.clipboard.copy()
    bench.document.start_new(make_job())
    bench.clipboard.paste(DropPoint(1, 100.0, 100.0))
    assert [p.pose for p in bench.document.job.sheets[0].placed] == [Pose(100, 100)]
    assert [piece.name for piece in bench.document.job.pieces] == ["block"]


def test_nothing_chosen_leaves_the_clipboard_alone(bench: Bench) -> None:
    QGuiApplication.clipboard().setText("a note of the shop")
    assert not bench.clipboard.copy()
    assert QGuiApplication.clipboard().text() == "a note of the shop"


def test_damaged_pieces_are_refused_in_words(bench: Bench) -> None:
    mime = QMimeData()
    mime.setData(PIECES, b"garbage")
    before = bench.document.job
    assert bench.clipboard.take(mime)
    assert bench.document.job is before
    assert bench.notices.last is not None
    assert "copied pieces are damaged" in bench.notices.last.text


def test_picture_is_pasted_as_art(bench: Bench, qtbot: QtBot) -> None:
    QGuiApplication.clipboard().setImage(disc())
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        bench.clipboard.paste()
    artwork = bench.document.job.arts[-1].artwork
    assert artwork.route == "raster"
    assert artwork.aspect == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("kind", ["image/svg+xml", "text"])
def test_svg_is_pasted_as_art(bench: Bench, qtbot: QtBot, kind: str) -> None:
    mime = QMimeData()
    source = make_artwork().source
    if kind == "text":
        mime.setText(source.decode())
    else:
        mime.setData(kind, source)
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        assert bench.clipboard.take(mime)
    assert bench.document.job.arts[-1].artwork.aspect == pytest.approx(0.8, abs=0.01)


def test_copied_files_are_pasted_as_art(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "moth #1 – außen.svg"
    path.write_bytes(make_artwork().source)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path))])
    assert can_take(mime)
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        assert bench.clipboard.take(mime)
    assert len(bench.document.job.pieces) == 2


def test_address_on_the_web_is_not_fetched(bench: Bench, tasks: TaskRunner) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl("https://example.invalid/moth.svg")])
    assert not can_take(mime)
    assert not bench.clipboard.take(mime)
    assert tasks.running_ids == ()


def test_words_that_are_no_art_are_told(bench: Bench, qapp: QApplication) -> None:
    QGuiApplication.clipboard().setText("24 adult shirts")
    before = bench.document.job
    bench.clipboard.paste()
    assert bench.document.job is before
    assert bench.notices.last is not None
    assert "paste" in bench.notices.last.text


def test_svg_wins_over_a_picture_of_the_same() -> None:
    mime = QMimeData()
    mime.setImageData(disc())
    mime.setData("image/svg+xml", b"<svg/>")
    assert pasted_art(mime) == ("Pasted art.svg", b"<svg/>")
