"""What the actions do that need the window: files, sheets, copies, dialogs and the view."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QMimeData
from PySide6.QtWidgets import QFileDialog, QWidget

from app.arrivals import DropPoint
from app.clipboard import local_files
from app.dialogs.about import AboutDialog
from app.dialogs.keys import KeysDialog
from app.dialogs.light import LightDialog
from app.dialogs.settings import SettingsDialog
from app.messages import Message
from layout_core.geometry.pose import Pose
from layout_core.job.edits import add_sheet, place_piece, remove_sheet
from layout_core.job.file import SUFFIX
from layout_core.packing.free_spot import free_spot

if TYPE_CHECKING:
    from app.window import MainWindow

ART_FILTER = "Art (*.svg *.svgz *.pdf *.png *.jpg *.jpeg)"


class WindowDeeds:
    """Gives every action that the base has no deed for its deed in this window."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._bench = window.bench
        self._dialogs: dict[type, KeysDialog | SettingsDialog | AboutDialog | LightDialog] = {}
        window.actions_by_name.on("new", window.files.start_new)
        self._join_files()
        self._join_view()

    def _join_files(self) -> None:
        window, bench = self._window, self._bench
        files, on = window.files, window.actions_by_name.on
        on("open", files.ask_and_open)
        on("open_sample", self.open_sample)
        on("save", files.save)
        on("save_as", files.save_as)
        on("add_art", self.add_art)
        on("add_lettering", lambda: self.at_art(window.art_page.add_lettering))
        on("add_shape", lambda: self.at_art(window.art_page.add_shape))
        on("add_names", lambda: self.at_art(window.art_page.add_names))
        on("change_made", lambda: self.at_art(window.art_page.change_made))
        on("proof", self.make_proof)
        on("quit", window.close)
        on("settings", lambda: self._show(SettingsDialog))
        on("keys", lambda: self._show(KeysDialog))
        on("about", lambda: self._show(AboutDialog))
        on("copy", bench.clipboard.copy)
        on("cut", self.cut)
        on("paste", bench.clipboard.paste)
        on("autopack", bench.packing.start)
        on("shorten", lambda: bench.packing.shorten(window.current.sheet.sheet_id))
        on("add_sheet", self.add_sheet)
        on("remove_sheet", self.remove_sheet)
        bench.packing.packed.connect(lambda _ids: window.view.zoom_to_fit())

    def _join_view(self) -> None:
        window, on = self._window, self._window.actions_by_name.on
        on("ink", self.show_ink)
        window.left.ink_asked.connect(self.show_ink)
        window.left.change_asked.connect(lambda: self.at_art(window.art_page.change_made))
        on("zoom_in", window.view.zoom_in)
        on("zoom_out", window.view.zoom_out)
        on("zoom_fit", window.view.zoom_to_fit)
        on("light", self.show_light)
        cut_lines = window.actions_by_name["cut_lines"]
        on("cut_lines", lambda: window.view.cut_layer.set_shown(cut_lines.isChecked()))
        window.lights_out.light_asked.connect(self.show_light)
        panels: tuple[tuple[str, QWidget], ...] = (
            ("left_panel", window.left), ("right_panel", window.right), ("lights_out", window.lights_out),
        )  # fmt: skip
        for name, panel in panels:
            action = window.actions_by_name[name]
            action.setChecked(True)
            action.toggled.connect(panel.setVisible)
            on(name, panel.update)

    def show_ink(self) -> None:
        """Go to the ink of the chosen piece, or of the first one."""
        job, selection = self._bench.document.job, self._bench.selection
        if selection.piece_id is None and job.pieces:
            selection.choose_piece(job.pieces[0].piece_id)
        self._window.go_to("art")
        self._window.right.show_ink()

    def show_light(self) -> None:
        """Open the light of the job; it stays open beside the work."""
        self._show(LightDialog)

    def open_sample(self) -> None:
        """Show the sample job, built in the background."""
        from app.demo import demo_job

        self._window.files.open_job(demo_job, "Opening the sample job")

    def add_art(self) -> None:
        """Ask for art files and add them."""
        folder = str(self._window.files.folder())
        names, _ = QFileDialog.getOpenFileNames(self._window, "Add art", folder, ART_FILTER)
        if names:
            self._bench.settings.change(last_folder=str(Path(names[0]).parent))
            self.take_files([Path(name) for name in names])

    def at_art(self, deed: Callable[[], None]) -> None:
        """Go to the art station and do it there."""
        self._window.go_to("art")
        deed()

    def take_files(
        self, paths: Sequence[Path], sheet_id: int | None = None, pose: Pose | None = None
    ) -> None:
        """Files from anywhere: a job is opened, everything else is art."""
        jobs = [path for path in paths if path.suffix.lower() == SUFFIX]
        art = [path for path in paths if path.suffix.lower() != SUFFIX]
        if jobs:
            self._window.files.open(jobs[0])
        elif art:
            self._bench.art_import.add_files(art, _point(sheet_id, pose))

    def take_picture(self, png: bytes, sheet_id: int | None = None, pose: Pose | None = None) -> None:
        self._bench.art_import.add_bytes([("dropped picture.png", png)], _point(sheet_id, pose))

    def take_mime(self, mime: QMimeData) -> None:
        """What was let go over the window, but not over the sheets."""
        paths = local_files(mime)
        if paths:
            self.take_files(paths)
        else:
            self._bench.clipboard.take(mime)

    def cut(self) -> None:
        if self._bench.clipboard.copy():
            self._window.actions_by_name.chosen.delete()

    def lay_copy(self, piece_id: int) -> None:
        """Lay a copy where there is room, on the sheet in view before the others."""
        document = self._bench.document
        job, piece = document.job, document.job.piece(piece_id)
        spot = self._free_spot(piece_id)
        if spot is None:
            found_none = Message(
                f"{piece.name} finds no free spot", "on the sheets", "Add a sheet, or make room"
            )
            self._bench.notices.tell(found_none, "caution")
        elif document.apply(f"Lay {piece.name}", lambda old: place_piece(old, spot[0], piece_id, spot[1])):
            self._bench.selection.choose_placed([job.next_id])

    def _free_spot(self, piece_id: int) -> tuple[int, Pose] | None:
        job, current = self._bench.document.job, self._window.current
        ids = sorted((sheet.sheet_id for sheet in job.sheets), key=lambda one: one != current.sheet_id)
        poses = ((sheet_id, free_spot(job, sheet_id, piece_id)) for sheet_id in ids)
        return next(((sheet_id, pose) for sheet_id, pose in poses if pose is not None), None)

    def add_sheet(self) -> None:
        """One more empty sheet, which is then in view."""
        new_id = self._bench.document.job.next_id
        if self._bench.document.apply("Add a sheet", add_sheet):
            self._bench.selection.clear()
            self._window.current.choose(new_id)
            self._window.right.show_sheet()
            self._window.view.zoom_to_fit()

    def remove_sheet(self) -> None:
        """Remove the sheet in view; undo brings it back."""
        sheet = self._window.current.sheet
        self._bench.document.apply(f"Remove {sheet.name}", lambda job: remove_sheet(job, sheet.sheet_id))

    def make_proof(self) -> None:
        """Go to the hand-off station and make the proof that is chosen there."""
        self._window.go_to("hand-off")
        self._window.right.hand_off.preview()

    def _show(
        self, kind: type[KeysDialog] | type[SettingsDialog] | type[AboutDialog] | type[LightDialog]
    ) -> None:
        dialog = self._dialogs.get(kind)
        if dialog is None:
            dialog = self._dialogs[kind] = kind(self._window)
        dialog.show()
        dialog.activateWindow()


def _point(sheet_id: int | None, pose: Pose | None) -> DropPoint | None:
    return None if sheet_id is None or pose is None else DropPoint(sheet_id, pose.x_mm, pose.y_mm)
