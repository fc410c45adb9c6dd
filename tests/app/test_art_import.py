"""Files come in as one step; those that cannot be used are told together."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.arrivals import DropPoint
from app.art_import import MOST_NAMED, ArtImport, refusal_message
from app.document import Document
from app.notices import Notices
from app.selection import Selection
from app.tasks import TaskRunner
from layout_core.errors import ArtError
from layout_core.job import edits
from tests.make import make_artwork
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui


class Bench:
    """What an import needs, joined."""

    def __init__(self, tasks: TaskRunner) -> None:
        self.document, self.notices = Document(), Notices()
        self.selection = Selection(self.document)
        self.importer = ArtImport(self.document, self.selection, tasks, self.notices)


@pytest.fixture
def bench(tasks: TaskRunner) -> Bench:
    return Bench(tasks)


def svg_file(folder: Path, name: str) -> Path:
    path = folder / name
    path.write_bytes(make_artwork().source)
    return path


def test_files_come_in_as_one_named_step(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    paths = [svg_file(tmp_path, name) for name in ("moth #1.svg", "Laterne – außen.svg", "crab.svg")]
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS) as told:
        bench.importer.add_files(paths)
    job = bench.document.job
    assert bench.document.undo_stack.count() == 1
    assert bench.document.undo_stack.undoText() == "Add 3 files"
    assert len(job.pieces) == 3
    assert told.args == [tuple(piece.piece_id for piece in job.pieces)]
    assert bench.selection.placed_ids == {p.placed_id for p in job.sheets[0].placed}
    assert bench.notices.last is None
    bench.document.undo_stack.undo()
    assert bench.document.job.pieces == ()


def test_good_files_come_in_beside_bad_ones(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    broken, empty = tmp_path / "broken.svg", tmp_path / "empty.png"
    broken.write_bytes(b"<svg")
    empty.write_bytes(b"")
    paths = [broken, svg_file(tmp_path, "moth.svg"), empty, tmp_path / "missing.svg"]
    with qtbot.waitSignals([bench.importer.added, bench.notices.told], timeout=WAIT_MS):
        bench.importer.add_files(paths)
    assert len(bench.document.job.pieces) == 1
    message = bench.notices.last
    assert message is not None
    assert all(name in message.text for name in ("broken.svg", "empty.png", "missing.svg"))
    assert "moth.svg" not in message.text
    assert "1 came in" in message.text


def test_only_bad_files_change_nothing(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    broken = tmp_path / "broken.svg"
    broken.write_bytes(b"<svg")
    before = bench.document.job
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.importer.add_files([broken])
    assert bench.document.job is before
    assert bench.notices.last is not None
    assert bench.notices.last.where == "broken.svg"


def test_content_without_a_file_comes_in_at_the_drop_point(bench: Bench, qtbot: QtBot) -> None:
    sheet_id = bench.document.job.sheets[0].sheet_id
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        bench.importer.add_bytes(
            [("Pasted art.svg", make_artwork().source)], DropPoint(sheet_id, 100.0, 90.0)
        )
    (placed,) = bench.document.job.sheets[0].placed
    assert (placed.pose.x_mm, placed.pose.y_mm) == (100.0, 90.0)


def test_job_that_changed_meanwhile_keeps_its_change(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    path = svg_file(tmp_path, "moth.svg")
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        bench.importer.add_files([path])
        bench.document.apply("Rename job", lambda job: edits.rename_job(job, "Tide pools"))
    assert bench.document.job.name == "Tide pools"
    assert len(bench.document.job.pieces) == 1
    assert bench.document.undo_stack.count() == 2


def test_drop_sheet_removed_meanwhile_is_no_loss(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    bench.document.apply("Add sheet", edits.add_sheet)
    second = bench.document.job.sheets[1].sheet_id
    with qtbot.waitSignal(bench.importer.added, timeout=WAIT_MS):
        bench.importer.add_files([svg_file(tmp_path, "moth.svg")], DropPoint(second, 50.0, 50.0))
        bench.document.apply("Remove sheet", lambda job: edits.remove_sheet(job, second))
    assert len(bench.document.job.sheets[0].placed) == 1


def test_stopped_import_changes_nothing(
    bench: Bench, tasks: TaskRunner, qtbot: QtBot, tmp_path: Path
) -> None:
    before = bench.document.job
    with qtbot.waitSignal(tasks.ended, timeout=WAIT_MS):
        task_id = bench.importer.add_files([svg_file(tmp_path, "moth.svg")])
        assert task_id is not None
        tasks.stop(task_id)
    assert bench.document.job is before
    assert bench.notices.last is None


def test_no_files_start_nothing(bench: Bench, tasks: TaskRunner, qapp: QApplication) -> None:
    assert bench.importer.add_files([]) is None
    assert tasks.running_ids == ()


def test_many_refusals_are_counted_beyond_the_first() -> None:
    refused = [ArtError(f"{number}.svg", "is empty") for number in range(MOST_NAMED + 3)]
    text = refusal_message(refused, 0).text
    assert "0.svg: is empty" in text
    assert f"{MOST_NAMED - 1}.svg" in text
    assert f"{MOST_NAMED}.svg" not in text
    assert "and 3 more" in text
