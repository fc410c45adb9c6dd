"""Mirrors the job on the canvas: one item a sheet and one a placed piece, touched only when they changed."""

from collections.abc import Iterable, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.dark_plates import DarkTile
from app.canvas.items import LockMark, PieceItem
from app.canvas.look import Look
from app.canvas.matte import Matte, lay_sheets
from app.canvas.overlays import BeaconItem, Frame, FramesItem, GuidesItem, MeasureItem, RubberItem
from app.canvas.paths import PathStore
from app.canvas.pixels import PixelItem
from app.canvas.prompt import DROP_ART, PLACE_PIECES
from app.canvas.rulers import RulerUnit
from app.canvas.sheet_item import SheetItem
from layout_core.glow.bands import garment_colours
from layout_core.glow.cloth import cloth
from layout_core.job.model import Job, Piece, PlacedPiece

ROOM_MM = 4000.0
"""Matte round the sheets, so that it can be pulled as far as anybody likes."""


class SheetScene(QGraphicsScene):
    """Scene units are millimetres of the matte, y down. Items are kept by id and know no job."""

    def __init__(self, look: Look, unit: RulerUnit) -> None:
        super().__init__()
        self.look = look
        self.unit: RulerUnit = unit
        self.matte = Matte()
        self.paths = PathStore()
        self.px_per_mm = 1.0
        self.sheet_items: dict[int, SheetItem] = {}
        self.piece_items: dict[int, PieceItem] = {}
        self._locks: dict[int, LockMark] = {}
        self._tiles: dict[int, DarkTile | None] = {}
        self._mirrored: dict[int, tuple[PlacedPiece, Piece, float, float]] = {}
        self._extras: set[PixelItem] = set()
        self.frames = FramesItem(look)
        self.measure = MeasureItem(look)
        self.guides = GuidesItem(look)
        self.rubber = RubberItem(look)
        self.beacon = BeaconItem(look)
        for overlay in (self.frames, self.measure, self.guides, self.rubber, self.beacon):
            self.add_extra(overlay)

    def show_job(self, job: Job) -> frozenset[int]:
        """Bring the items in line with the job; the placed ids that were not there before."""
        self.matte = lay_sheets(job.sheets)
        self._show_sheets(job)
        before = frozenset(self.piece_items)
        wanted: set[int] = set()
        pieces = {piece.piece_id: piece for piece in job.pieces}
        own_cloth = _own_cloth(job)
        for sheet in job.sheets:
            place = self.matte.place(sheet.sheet_id)
            for placed in sheet.placed:
                wanted.add(placed.placed_id)
                self._show_placed(job, placed, pieces[placed.piece_id], place.x_mm, place.y_mm)
                self.piece_items[placed.placed_id].set_cloth(own_cloth.get(placed.piece_id))
        for gone in before - wanted:
            self._remove_placed(gone)
        self.paths.keep_only((job.artwork_of(piece).digest, piece.width_mm) for piece in job.pieces)
        left, top, right, bottom = self.matte.bounds_mm
        self.setSceneRect(
            QRectF(left, top, right - left, bottom - top).adjusted(-ROOM_MM, -ROOM_MM, ROOM_MM, ROOM_MM)
        )
        return frozenset(wanted) - before

    def _show_sheets(self, job: Job) -> None:
        has_placed = any(sheet.placed for sheet in job.sheets)
        prompt = None if has_placed else PLACE_PIECES if job.pieces else DROP_ART
        for index, sheet in enumerate(job.sheets):
            item = self.sheet_items.get(sheet.sheet_id)
            if item is None:
                item = self.sheet_items[sheet.sheet_id] = SheetItem(sheet, self.unit, self.look)
                self.add_extra(item)
            item.set_sheet(sheet)
            item.set_prompt(prompt if index == 0 else None)
            place = self.matte.place(sheet.sheet_id)
            item.setPos(place.x_mm, place.y_mm)
        for gone in self.sheet_items.keys() - {sheet.sheet_id for sheet in job.sheets}:
            self.remove_extra(self.sheet_items.pop(gone))

    def _show_placed(
        self, job: Job, placed: PlacedPiece, piece: Piece, left_mm: float, top_mm: float
    ) -> None:
        key = placed.placed_id
        known = self._mirrored.get(key)
        if known is not None and known[0] is placed and known[1] is piece and known[2:] == (left_mm, top_mm):
            return
        paths = self.paths.paths(job.artwork_of(piece), piece.width_mm)
        item = self.piece_items.get(key)
        if item is None:
            item = self.piece_items[key] = PieceItem(key, paths, self.look)
            item.set_tile(self._tiles.get(piece.piece_id))
            self.addItem(item)
        item.set_paths(paths)
        item.lay(left_mm, top_mm, placed.pose)
        item.setScale(1.0)
        self._show_lock(item, placed.locked)
        self._mirrored[key] = (placed, piece, left_mm, top_mm)

    def _show_lock(self, item: PieceItem, is_locked: bool) -> None:
        mark = self._locks.get(item.placed_id)
        if is_locked and mark is None:
            mark = self._locks[item.placed_id] = LockMark(item, self.look)
            self.add_extra(mark)
        elif not is_locked and mark is not None:
            self.remove_extra(self._locks.pop(item.placed_id))

    def _remove_placed(self, placed_id: int) -> None:
        item = self.piece_items.pop(placed_id)
        for extra in [extra for extra in self._extras if extra.parentItem() is item]:
            self.remove_extra(extra)
        self._locks.pop(placed_id, None)
        del self._mirrored[placed_id]
        self.removeItem(item)

    def put_back(self, placed_ids: Iterable[int]) -> None:
        """Undo what a gesture did to items: each lies where the job says, at its own size."""
        for placed_id in placed_ids:
            known = self._mirrored.get(placed_id)
            if known is not None:
                placed, _, left_mm, top_mm = known
                item = self.piece_items[placed_id]
                item.lay(left_mm, top_mm, placed.pose)
                item.setScale(1.0)
                item.set_carried(False)

    def add_extra(self, item: PixelItem) -> None:
        """Take in an item that is measured in pixels; it hears of zoom and theme until it is removed."""
        item.set_scale_px(self.px_per_mm)
        self._extras.add(item)
        if item.parentItem() is None:
            self.addItem(item)

    def remove_extra(self, item: PixelItem) -> None:
        self._extras.discard(item)
        if item.scene() is self:
            self.removeItem(item)

    def set_scale_px(self, px_per_mm: float) -> None:
        """Tell everything that keeps its size on screen how many pixels a millimetre takes."""
        self.px_per_mm = px_per_mm
        for item in self._extras:
            item.set_scale_px(px_per_mm)

    def set_look(self, look: Look) -> None:
        self.look = look
        for extra in self._extras:
            extra.set_look(look)
        for piece in self.piece_items.values():
            piece.set_look(look)
        self.update()

    def show_tiles(self, tiles: Mapping[int, DarkTile | None]) -> None:
        """Take on what each piece, by its id, looks like in the dark now."""
        self._tiles = dict(tiles)
        for placed_id, (_, piece, _, _) in self._mirrored.items():
            self.piece_items[placed_id].set_tile(self._tiles.get(piece.piece_id))

    def set_unit(self, unit: RulerUnit) -> None:
        self.unit = unit
        for item in self.sheet_items.values():
            item.set_unit(unit)

    def piece_at(self, at: QPointF) -> int | None:
        """The placed id under a point of the matte: by its ink, else within 3 px of it, else by its hull."""
        room = 3.0 / self.px_per_mm
        near = QRectF(at.x() - room, at.y() - room, 2 * room, 2 * room)
        mode = Qt.ItemSelectionMode.IntersectsItemShape
        for found in (self.items(at, mode), self.items(near, mode)):
            for item in found:
                if isinstance(item, PieceItem):
                    return item.placed_id
        for item in self.items(at, Qt.ItemSelectionMode.IntersectsItemBoundingRect):
            if isinstance(item, PieceItem) and item.paths.hull.contains(item.mapFromScene(at)):
                return item.placed_id
        return None

    def pieces_in(self, box: QRectF) -> frozenset[int]:
        """The placed ids whose outline touches a box of the matte."""
        found = self.items(box, Qt.ItemSelectionMode.IntersectsItemShape)
        return frozenset(item.placed_id for item in found if isinstance(item, PieceItem))

    def frame_of(self, placed_id: int, is_filler: bool = False) -> Frame:
        """Where the corners of a placed piece lie now, in the middle of a gesture too."""
        item = self.piece_items[placed_id]
        corners = item.mapToScene(item.paths.bounds)
        return Frame((corners.at(0), corners.at(1), corners.at(2), corners.at(3)), is_filler)

    def positions(self, placed_ids: Iterable[int]) -> Mapping[int, QPointF]:
        return {key: self.piece_items[key].pos() for key in placed_ids}


def _own_cloth(job: Job) -> dict[int, QColor]:
    """The cloth of each piece that goes on another colour than the job's."""
    first = {piece.piece_id: garment_colours(job, piece)[0] for piece in job.pieces}
    usual = cloth(job.garment_colour)
    return {key: QColor(cloth(colour)) for key, colour in first.items() if cloth(colour) != usual}
