"""The one place that builds and joins the objects that live as long as the program."""

from dataclasses import dataclass

from PySide6.QtWidgets import QApplication

from app.checker import Checker
from app.document import Document
from app.selection import Selection
from app.settings import Settings
from app.tasks import TaskRunner
from app.theme import Theme, ThemeName
from app.theming import Theming
from layout_core.job.model import Job


@dataclass(frozen=True, slots=True)
class Workbench:
    """The long-lived objects, handed to the window and its parts."""

    app: QApplication
    settings: Settings
    theming: Theming
    tasks: TaskRunner
    document: Document
    selection: Selection
    checker: Checker

    @property
    def theme(self) -> Theme:
        """The theme in use now; `theming.changed` tells of another one."""
        return self.theming.theme

    def close(self) -> None:
        """Stop all background work and wait for its end; call it last."""
        self.tasks.close()


def build_workbench(app: QApplication, job: Job | None = None, theme: ThemeName | None = None) -> Workbench:
    """Make and join the long-lived objects round a job (an empty one by default); `theme` forces a theme."""
    settings = Settings()
    tasks = TaskRunner()
    document = Document(job)
    return Workbench(
        app=app,
        settings=settings,
        theming=Theming(app, settings, theme),
        tasks=tasks,
        document=document,
        selection=Selection(document),
        checker=Checker(document, tasks),
    )
