"""The one place that builds and joins the objects that live as long as the program."""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

import shiboken6
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from app.art_import import ArtImport
from app.autosave import Autosave
from app.checker import Checker
from app.clipboard import Clipboard
from app.document import Document
from app.file_opens import FileOpens
from app.glow_watch import GlowWatch
from app.housekeeping import Housekeeping
from app.ink_mapping import InkMapping
from app.messages import Message
from app.notices import Notices
from app.open_watch import OpenWatch
from app.packing_task import PackingTask
from app.repairing import Repairing
from app.selection import Selection
from app.settings import Settings
from app.tasks import TaskRunner
from app.theme import Theme, ThemeName, icon, program_icon
from app.theming import Theming
from app.viewing import Viewing
from layout_core.art.sandbox import SHARED
from layout_core.job.model import Job


@dataclass(frozen=True, slots=True)
class Workbench:
    """The long-lived objects, handed to the window and its parts."""

    app: QApplication
    settings: Settings
    theming: Theming
    notices: Notices
    tasks: TaskRunner
    document: Document
    selection: Selection
    checker: Checker
    art_import: ArtImport
    packing: PackingTask
    clipboard: Clipboard
    autosave: Autosave
    open_watch: OpenWatch
    viewing: Viewing
    glow: GlowWatch
    repairing: Repairing
    ink_mapping: InkMapping

    @property
    def theme(self) -> Theme:
        """The theme in use now; `theming.changed` tells of another one."""
        return self.theming.theme

    def close(self) -> None:
        """Stop all background work, wait for its end, and drop the snapshots; call it last, once."""
        self.tasks.close()
        self.autosave.finish()
        self.open_watch.end()
        # A dying undo stack still tells of its emptying, to actions that may outlive it.
        self.document.undo_stack.blockSignals(True)


def build_workbench(app: QApplication, job: Job | None = None, theme: ThemeName | None = None) -> Workbench:
    """Make and join the long-lived objects round a job (an empty one by default); `theme` forces a theme."""
    settings, notices, tasks = Settings(), Notices(), TaskRunner()
    document = Document(job)
    selection = Selection(document)
    art_import = ArtImport(document, selection, tasks, notices)
    bench = Workbench(
        app=app,
        settings=settings,
        theming=Theming(app, settings, theme),
        notices=notices,
        tasks=tasks,
        document=document,
        selection=selection,
        checker=Checker(document, tasks),
        art_import=art_import,
        packing=PackingTask(document, tasks, notices, settings),
        clipboard=Clipboard(app.clipboard(), document, selection, art_import, notices),
        autosave=Autosave(document, tasks, notices),
        open_watch=OpenWatch(document, notices),
        viewing=Viewing(),
        glow=GlowWatch(document, tasks),
        repairing=Repairing(document, tasks, notices),
        ink_mapping=InkMapping(document, tasks, notices),
    )
    _join(bench)
    return bench


def _join(bench: Workbench) -> None:
    """Let everything that can go wrong be told in one place."""
    notices = bench.notices
    bench.document.refused.connect(
        lambda sentence: notices.tell(Message(sentence, "in the job", "The job is as it was"), "caution")
    )
    bench.tasks.went_wrong.connect(lambda label, error: notices.tell_error(error, label.lower()))
    bench.checker.failed.connect(lambda error: notices.tell_error(error, "checking the job"))
    bench.glow.failed.connect(lambda error: notices.tell_error(error, "working out how far it is seen"))
    bench.settings.not_saved.connect(
        lambda reason: notices.tell(
            Message(reason, "settings", "The choice counts until the program ends"), "caution"
        )
    )


def run_window(path: Path | None = None) -> int:
    """Open the window, with the job of a file if one is given, and stay until it is closed; the exit code.

    Errors that nobody foresaw are told in words, and the window stays open.
    """
    # The window is built round a workbench, so it can be known here only once there is one to build.
    from app.window import MainWindow

    present = QApplication.instance()
    app = present if isinstance(present, QApplication) else QApplication(sys.argv[:1])
    _name(app)
    housekeeping, bench = Housekeeping(), build_workbench(app)
    window, file_opens = MainWindow(bench), FileOpens()
    file_opens.asked.connect(lambda asked: window.deeds.take_files([asked]))
    app.installEventFilter(file_opens)
    window.show()
    housekeeping.settle()
    # The first dropped file need not wait for its worker process.
    QTimer.singleShot(0, SHARED.warm_up)
    if path is not None:
        window.files.open(path)
    try:
        with _hooks(bench):
            return app.exec()
    finally:
        app.removeEventFilter(file_opens)
        bench.close()
        # Before the workbench it is built round, not in whatever order the interpreter ends.
        shiboken6.delete(window)
        icon.cache_clear()
        housekeeping.end()


def _name(app: QApplication) -> None:
    app.setApplicationName("duskwright")
    app.setApplicationDisplayName("Duskwright")
    app.setDesktopFileName("duskwright")
    app.setWindowIcon(program_icon())


@contextmanager
def _hooks(bench: Workbench) -> Iterator[None]:
    """Tell errors of slots and paint events in words, and let Ctrl+C in the terminal end the program."""

    def tell(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        bench.notices.tell_error(error, "in the window")

    old_hook, sys.excepthook = sys.excepthook, tell
    # Python's own handler never gets its turn inside Qt's loop. The snapshots of unsaved work stay.
    old_handler = signal.signal(signal.SIGINT, signal.SIG_DFL)
    try:
        yield
    finally:
        sys.excepthook = old_hook
        signal.signal(signal.SIGINT, old_handler)
