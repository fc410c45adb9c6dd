"""Keeps the findings of the checker drawn on the canvas, and shows one when asked."""

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF, QSizeF

from app.canvas.board import Board
from app.canvas.marks import TONE_OF, Spot, SpotsItem, spot_of
from app.canvas.pixels import PixelItem, Tone
from app.canvas.words import write_finding
from layout_core.checks.findings import Finding
from layout_core.geometry.pose import point_to_sheet
from layout_core.job.model import Job


class FindingsLayer:
    """One item a placed piece for what is wrong with its art, one a finding about the layout."""

    def __init__(self, board: Board) -> None:
        self._board = board
        self._items: list[PixelItem] = []
        self._layout_items: list[tuple[frozenset[int], SpotsItem]] = []
        self._findings: tuple[Finding, ...] = ()
        self._is_shown = True

    @property
    def items(self) -> tuple[PixelItem, ...]:
        return tuple(self._items)

    @property
    def is_shown(self) -> bool:
        return self._is_shown

    def set_shown(self, is_shown: bool) -> None:
        self._is_shown = is_shown
        for item in self._items:
            item.setVisible(is_shown)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Draw these instead of those drawn so far."""
        self._findings = findings
        self.redraw()

    def redraw(self) -> None:
        """Draw the findings anew on the items that stand now."""
        for item in self._items:
            self._board.scene.remove_extra(item)
        self._items.clear()
        self._layout_items.clear()
        self._draw_art(self._board.document.job)
        self._draw_layout()
        self.set_shown(self._is_shown)

    def hide_layout_of(self, placed_ids: Iterable[int]) -> None:
        """Hide what a gesture makes untrue: layout findings about these pieces, until the next check."""
        moved = frozenset(placed_ids)
        for concerned, item in self._layout_items:
            if concerned & moved:
                item.setVisible(False)

    def _draw_art(self, job: Job) -> None:
        scene = self._board.scene
        by_piece: dict[int, list[Spot]] = {}
        for finding in self._findings:
            if finding.piece_id is None or finding.sheet_id is not None:
                continue
            piece = next((p for p in job.pieces if p.piece_id == finding.piece_id), None)
            if piece is not None:
                width_mm, height_mm = job.size_of(piece)
                spot = spot_of(finding, (-width_mm / 2, -height_mm / 2))
                if spot is not None:
                    by_piece.setdefault(piece.piece_id, []).append(spot)
        for sheet in job.sheets:
            for placed in sheet.placed:
                item = scene.piece_items.get(placed.placed_id)
                spots = by_piece.get(placed.piece_id)
                if spots and item is not None:
                    self._add(SpotsItem(spots, scene.look, item, item.paths.bounds))

    def _draw_layout(self) -> None:
        scene = self._board.scene
        for finding in self._findings:
            sheet = None if finding.sheet_id is None else scene.sheet_items.get(finding.sheet_id)
            if sheet is None:
                continue
            spot = spot_of(finding, text=write_finding(finding, scene.unit))
            if spot is not None:
                item = SpotsItem([spot], scene.look)
                item.setPos(sheet.pos())
                self._add(item)
                self._layout_items.append((frozenset(finding.placed_ids), item))

    def _add(self, item: SpotsItem) -> None:
        self._board.scene.add_extra(item)
        self._items.append(item)

    def place_of(self, finding: Finding) -> tuple[QRectF, Tone] | None:
        """The box on the matte to look at for a finding, and its tone; None when it lies on no sheet.

        A finding about a piece's art is shown on its first copy, a chosen one before others.
        """
        scene, job, tone = self._board.scene, self._board.document.job, TONE_OF[finding.severity]
        if finding.sheet_id is not None and finding.sheet_id in scene.sheet_items:
            sheet_item = scene.sheet_items[finding.sheet_id]
            spot = spot_of(finding)
            if spot is not None:
                return spot.bounds.translated(sheet_item.pos()), tone
            boxes = [
                scene.frame_of(k).polygon.boundingRect() for k in finding.placed_ids if k in scene.piece_items
            ]
            return (_union(boxes) or sheet_item.film.translated(sheet_item.pos())), tone
        copies = [p for s in job.sheets for p in s.placed if p.piece_id == finding.piece_id]
        if not copies:
            return None
        chosen = self._board.selection.placed_ids
        placed = next((p for p in copies if p.placed_id in chosen), copies[0])
        item = scene.piece_items[placed.placed_id]
        if finding.where_mm is None:
            return scene.frame_of(placed.placed_id).polygon.boundingRect(), tone
        piece = job.piece(placed.piece_id)
        at = QPointF(*point_to_sheet(finding.where_mm, *job.size_of(piece), placed.pose))
        corner = item.pos() - QPointF(placed.pose.x_mm, placed.pose.y_mm)
        return QRectF(at + corner, QSizeF(0, 0)), tone


def _union(boxes: list[QRectF]) -> QRectF | None:
    whole = QRectF()
    for box in boxes:
        whole = whole.united(box)
    return whole if boxes else None
