"""Opening, saving and leaving jobs: the files of the job, and the one question that is ever asked."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.messages import Message
from app.widgets.labels import set_look
from app.wiring import Workbench
from layout_core.errors import DuskwrightError
from layout_core.job.file import SUFFIX, read_job
from layout_core.job.model import Job
from layout_core.progress import Progress

_FILTER = f"Duskwright job (*{SUFFIX})"


class JobFiles(QObject):
    """Acts for a window: dialogs are its children, messages go to the notices.

    `opened` follows a job that was put in place of another.
    """

    opened = Signal()

    def __init__(self, bench: Workbench, window: QWidget) -> None:
        super().__init__(window)
        self._bench = bench
        self._window = window

    def start_new(self) -> None:
        """An empty job, once what is unsaved has been asked about."""
        if self.may_leave():
            self._bench.document.start_new()
            self.opened.emit()

    def ask_and_open(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self._window, "Open a job", str(self.folder()), _FILTER)
        if name:
            self.open(Path(name))

    def open(self, path: Path) -> None:
        """Read the job in the background and show it; a broken file leaves everything as it was."""
        if not path.is_file():
            self._bench.settings.forget_job(path)
            missing = Message(
                f"{path.name} is not there any more", path.name, "Look for it in another folder"
            )
            self._bench.notices.tell(missing, "stop")
            return
        if not self.may_leave():
            return

        def work(progress: Progress) -> Job:
            return read_job(path)

        def show(job: Job) -> None:
            self._bench.document.adopt(job, path)
            self._bench.settings.remember_job(path)
            self.opened.emit()

        self._bench.tasks.start(f"Opening {path.name}", work, show, self._telling(f"opening {path.name}"))

    def open_job(self, build: Callable[[Progress], Job], words: str) -> None:
        """Build a job in the background and show it as one without a file, e.g. the sample job."""
        if not self.may_leave():
            return

        def show(job: Job) -> None:
            self._bench.document.start_new(job)
            self.opened.emit()

        self._bench.tasks.start(words, build, show, self._telling(words.lower()))

    def save(self) -> bool:
        """Save to the job's file, or ask for one; True when it is saved."""
        path = self._bench.document.path
        return self.save_as() if path is None else self._write(path)

    def save_as(self) -> bool:
        start = self.folder() / f"{_file_stem(self._bench.document.job.name)}{SUFFIX}"
        name, _ = QFileDialog.getSaveFileName(self._window, "Save the job as", str(start), _FILTER)
        if not name:
            return False
        path = Path(name)
        return self._write(path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX))

    def _write(self, path: Path) -> bool:
        if path == self._bench.document.path and self._bench.document.is_changed_outside():
            changed = Message(
                f"{path.name} was changed by another window or program since it was opened; it was not saved",
                path.name,
                "Save as another file, or save once more to replace it",
            )
            self._bench.notices.tell(changed, "caution")
            return False
        try:
            self._bench.document.save(path)
        except (DuskwrightError, OSError) as error:
            self._bench.notices.tell_error(error, f"saving {path.name}")
            return False
        self._bench.settings.remember_job(path)
        return True

    def may_leave(self) -> bool:
        """True when nothing is lost by leaving the job: saved, saved now, or given up on purpose."""
        if not self._bench.document.is_dirty:
            return True
        answer = self.ask_leave()
        if answer is QMessageBox.StandardButton.Save:
            return self.save()
        return answer is QMessageBox.StandardButton.Discard

    def ask_leave(self) -> QMessageBox.StandardButton:
        """Ask Save / Don't save / Cancel; Cancel is what Esc, Return and the closing of the question mean."""
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.NoIcon)
        box.setWindowTitle("Unsaved changes")
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setText(f"“{self._bench.document.job.name}” has changes that are not saved.")
        box.setInformativeText("Save them before leaving the job?")
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
        box.button(buttons.Discard).setText("Don’t save")
        set_look(box.button(buttons.Save), "primary")
        box.setDefaultButton(buttons.Cancel)
        box.setEscapeButton(buttons.Cancel)
        answer = QMessageBox.StandardButton(box.exec())
        box.deleteLater()
        return answer

    def folder(self) -> Path:
        """Where file dialogs begin."""
        path = self._bench.document.path
        last = self._bench.settings.choices.last_folder
        return path.parent if path is not None else Path(last) if last else Path.home()

    def _telling(self, doing: str) -> Callable[[Exception], None]:
        return lambda error: self._bench.notices.tell_error(error, doing)


def _file_stem(name: str) -> str:
    """The job's name without the signs that file systems refuse."""
    kept = "".join("-" if sign in '\\/:*?"<>|' else sign for sign in name).strip(" .")
    return kept[:80] or "job"
