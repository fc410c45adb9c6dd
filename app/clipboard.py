"""Copies placed pieces to the clipboard, and pastes pieces, pictures, SVG and files from it."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QObject
from PySide6.QtGui import QClipboard, QImage, QImageWriter

from app.arrivals import DropPoint
from app.art_import import ArtImport
from app.document import Document
from app.messages import Message
from app.notices import Notices
from app.pasting import part_of, with_part
from app.selection import Selection
from layout_core.errors import DuskwrightError
from layout_core.job.file import job_bytes, job_from_bytes

PIECES = "application/x-duskwright-pieces"
SVG_TYPES = ("image/svg+xml", "image/svg")
PASTE_STEP_MM = 6.35
"""A quarter inch right and down of the copied ones, as a duplicate lies. Our choice."""


class Clipboard(QObject):
    """Cut, copy and paste; `take` serves drops of the same kinds of content."""

    def __init__(
        self, clipboard: QClipboard, document: Document, selection: Selection, art_import: ArtImport,
        notices: Notices, parent: QObject | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._clipboard = clipboard
        self._document = document
        self._selection = selection
        self._art_import = art_import
        self._notices = notices

    def copy(self) -> bool:
        """Put the chosen copies on the clipboard with their art, so that another job can take them too."""
        ids = self._selection.placed_ids
        if not ids:
            return False
        mime = QMimeData()
        mime.setData(PIECES, QByteArray(job_bytes(part_of(self._document.job, ids))))
        self._clipboard.setMimeData(mime)
        return True

    def paste(self, where: DropPoint | None = None) -> None:
        """Add what the clipboard holds, at a point or where there is room."""
        # Where another program has just let go of the clipboard there is nothing at all, not even a type.
        mime: QMimeData | None = self._clipboard.mimeData()
        if mime is None or not self.take(mime, where):
            self._notices.tell(
                Message("There is nothing here that can be pasted", "on the clipboard",
                        "Copy pieces, a picture, an SVG or files, then paste"),
                "note",
            )  # fmt: skip

    def take(self, mime: QMimeData, where: DropPoint | None = None) -> bool:
        """Add pieces, files, an SVG or a picture, whichever comes first; False when there is none of them."""
        if mime.hasFormat(PIECES):
            self._paste_pieces(bytes(mime.data(PIECES).data()), where)
            return True
        paths = local_files(mime)
        if paths:
            self._art_import.add_files(paths, where)
            return True
        named = pasted_art(mime)
        if named is not None:
            self._art_import.add_bytes([named], where)
        return named is not None

    def _paste_pieces(self, data: bytes, where: DropPoint | None) -> None:
        try:
            part = job_from_bytes("the copied pieces", data)
        except DuskwrightError:
            what = "The copied pieces are damaged and cannot be used"
            self._notices.tell(Message(what, "on the clipboard", "Copy them once more"), "stop")
            return
        count = len(part.sheets[0].placed)
        first = {p.placed_id for sheet in self._document.job.sheets for p in sheet.placed}
        step = PASTE_STEP_MM
        text = "Paste piece" if count == 1 else f"Paste {count} pieces"
        if self._document.apply(text, lambda job: with_part(job, part, where, step)):
            now = {p.placed_id for sheet in self._document.job.sheets for p in sheet.placed}
            self._selection.choose_placed(now - first)


def local_files(mime: QMimeData) -> Sequence[Path]:
    """The files on this machine that a drop or the clipboard names."""
    return [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()] if mime.hasUrls() else []


def can_take(mime: QMimeData) -> bool:
    """Whether `Clipboard.take` could use it, judged without reading it."""
    has_files = mime.hasUrls() and any(url.isLocalFile() for url in mime.urls())
    return has_files or mime.hasImage() or mime.hasFormat(PIECES) or any(map(mime.hasFormat, SVG_TYPES))


def pasted_art(mime: QMimeData) -> tuple[str, bytes] | None:
    """An SVG, else a picture as PNG, with a name; None when there is neither."""
    for kind in SVG_TYPES:
        if mime.hasFormat(kind):
            return "Pasted art.svg", bytes(mime.data(kind).data())
    text = mime.text().lstrip() if mime.hasText() else ""
    if text.startswith("<svg") or (text.startswith("<?xml") and "<svg" in text[:2000]):
        return "Pasted art.svg", text.encode()
    image = mime.imageData() if mime.hasImage() else None
    if isinstance(image, QImage) and not image.isNull():
        return "Pasted picture.png", png_bytes(image)
    return None


def png_bytes(image: QImage) -> bytes:
    """The picture as a PNG file."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(image)
    return bytes(buffer.data().data())
