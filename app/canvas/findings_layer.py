"""Keeps the findings of the checker drawn on the canvas, and knows where each is to be looked at."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from PySide6.QtCore import QPointF, QRectF, QSizeF

from app.canvas.board import Board
from app.canvas.items import PieceItem
from app.canvas.marks import TONE_OF, MoreItem, Spot, SpotsItem, spot_of
from app.canvas.overlays import OVERLAY_Z
from app.canvas.paths import ArtPaths
from app.canvas.pixels import PixelItem, Tone
from app.canvas.rulers import RulerUnit
from app.canvas.sheet_item import SheetItem
from app.canvas.words import write_finding
from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.pose import point_to_sheet
from layout_core.job.model import Job, Piece, PlacedPiece

Item = TypeVar("Item", bound=PixelItem)

LAYOUT_MARKS_Z = OVERLAY_Z + 0.5
"""Over the frames of what is chosen, so that their words can be read."""

MOST_MARKS = 40
"""On one sheet, of its layout: sixty copies in a pile lie wrong in two thousand places, which nobody can read
and no canvas can draw while something moves. Invented."""

_WORST_FIRST = {severity: rank for rank, severity in enumerate(Severity)}


@dataclass(frozen=True, slots=True)
class _ArtSpots:
    """What is wrong with a piece's art, in the frame of its items, and the piece it is true for."""

    piece: Piece
    findings: tuple[Finding, ...]
    spots: tuple[Spot, ...]

    def is_true_for(self, piece: Piece) -> bool:
        return (self.piece.art_id, self.piece.width_mm) == (piece.art_id, piece.width_mm)


@dataclass(frozen=True, slots=True)
class _ArtMarks:
    """The marks on one placed piece, and what they were drawn from."""

    item: SpotsItem
    on: PieceItem
    paths: ArtPaths
    spots: tuple[Spot, ...]


class FindingsLayer:
    """One item a placed piece for what is wrong with its art, one a finding about the layout."""

    def __init__(self, board: Board) -> None:
        self._board = board
        self._findings: tuple[Finding, ...] = ()
        self._art_spots: dict[int, _ArtSpots] = {}
        self._checked: dict[int, PlacedPiece] = {}
        self._art_marks: dict[int, _ArtMarks] = {}
        self._layout_marks: dict[tuple[Finding, RulerUnit, float], SpotsItem] = {}
        self._more: list[MoreItem] = []
        self._is_shown = True

    @property
    def items(self) -> tuple[SpotsItem, ...]:
        return (*(marks.item for marks in self._art_marks.values()), *self._layout_marks.values())

    @property
    def left_out(self) -> tuple[MoreItem, ...]:
        """The counts of what has no mark, one a sheet that has more than can be drawn."""
        return tuple(self._more)

    @property
    def is_shown(self) -> bool:
        return self._is_shown

    def set_shown(self, is_shown: bool) -> None:
        self._is_shown = is_shown
        for item in (*self.items, *self._more):
            item.setVisible(is_shown)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Draw these, which are about the job as it is now, instead of those drawn so far."""
        job = self._board.document.job
        self._findings = findings
        self._art_spots = _spots_by_piece(job, findings, self._art_spots)
        self._checked = {p.placed_id: p for sheet in job.sheets for p in sheet.placed}
        self.redraw()

    def redraw(self) -> None:
        """Bring the marks in line with the job as it is; what a change has made untrue is left out."""
        self._draw_art(self._board.document.job)
        self._draw_layout(self._board.document.job)
        self.set_shown(self._is_shown)

    def hide_layout_of(self, placed_ids: Iterable[int]) -> None:
        """Hide what a gesture makes untrue: layout findings about these pieces, until the next change."""
        moved = frozenset(placed_ids)
        for (finding, _, _), item in self._layout_marks.items():
            if moved.intersection(finding.placed_ids):
                item.setVisible(False)

    def _draw_art(self, job: Job) -> None:
        pieces = {piece.piece_id: piece for piece in job.pieces}
        before, self._art_marks = self._art_marks, {}
        for sheet in job.sheets:
            for placed in sheet.placed:
                item = self._board.scene.piece_items.get(placed.placed_id)
                art = self._art_spots.get(placed.piece_id)
                if item is not None and art is not None and art.is_true_for(pieces[placed.piece_id]):
                    old = before.pop(placed.placed_id, None)
                    self._art_marks[placed.placed_id] = self._marks_on(item, art.spots, old)
        for gone in before.values():
            self._board.scene.remove_extra(gone.item)

    def _marks_on(self, piece: PieceItem, spots: tuple[Spot, ...], old: _ArtMarks | None) -> _ArtMarks:
        if old is not None:
            if (old.on, old.paths, old.spots) == (piece, piece.paths, spots):
                return old
            self._board.scene.remove_extra(old.item)
        item = SpotsItem(spots, self._board.scene.look, piece, piece.paths.bounds)
        self._board.scene.add_extra(item)
        return _ArtMarks(item, piece, piece.paths, spots)

    def _draw_layout(self, job: Job) -> None:
        scene = self._board.scene
        before, self._layout_marks = self._layout_marks, {}
        more_before, self._more = self._more, []
        for sheet, findings in self._true_by_sheet(job).values():
            for finding in _most_telling(findings)[:MOST_MARKS]:
                key = (finding, scene.unit, sheet.pos().x())
                mark = before.pop(key, None) or self._layout_mark(finding, sheet)
                if mark is not None:
                    self._layout_marks[key] = mark
            if len(findings) > MOST_MARKS:
                self._more.append(self._count_under(sheet, len(findings) - MOST_MARKS))
        for gone in (*before.values(), *more_before):
            scene.remove_extra(gone)

    def _true_by_sheet(self, job: Job) -> dict[int, tuple[SheetItem, list[Finding]]]:
        """The findings about the layout that no change has made untrue."""
        now = {p.placed_id: p for sheet in job.sheets for p in sheet.placed}
        found: dict[int, tuple[SheetItem, list[Finding]]] = {}
        for finding in self._findings:
            key = finding.sheet_id
            sheet = None if key is None else self._board.scene.sheet_items.get(key)
            if key is None or sheet is None:
                continue
            if all(now.get(placed) == self._checked.get(placed) for placed in finding.placed_ids):
                found.setdefault(key, (sheet, []))[1].append(finding)
        return found

    def _layout_mark(self, finding: Finding, sheet: SheetItem) -> SpotsItem | None:
        scene = self._board.scene
        spot = spot_of(finding, text=write_finding(finding, scene.unit))
        if spot is None:
            return None
        mark = SpotsItem([spot], scene.look)
        mark.setZValue(LAYOUT_MARKS_Z)
        return self._put(mark, sheet)

    def _count_under(self, sheet: SheetItem, count: int) -> MoreItem:
        foot = QPointF(sheet.film.center().x(), sheet.film.bottom())
        return self._put(MoreItem(count, foot, self._board.scene.look), sheet)

    def _put(self, item: Item, sheet: SheetItem) -> Item:
        item.setPos(sheet.pos())
        self._board.scene.add_extra(item)
        return item

    def place_of(self, finding: Finding) -> tuple[QRectF, Tone] | None:
        """The box on the matte to look at for a finding, and its tone; None when it lies on no sheet.

        A finding about a piece's art is shown on its first copy, a chosen one before others.
        """
        if finding.sheet_id is not None and finding.sheet_id in self._board.scene.sheet_items:
            return self._place_on_sheet(finding, finding.sheet_id), TONE_OF[finding.severity]
        copies = [
            p for s in self._board.document.job.sheets for p in s.placed if p.piece_id == finding.piece_id
        ]
        if not copies:
            return None
        chosen = self._board.selection.placed_ids
        placed = next((p for p in copies if p.placed_id in chosen), copies[0])
        return self._place_on_copy(finding, placed), TONE_OF[finding.severity]

    def _place_on_sheet(self, finding: Finding, sheet_id: int) -> QRectF:
        scene = self._board.scene
        sheet = scene.sheet_items[sheet_id]
        spot = spot_of(finding)
        if spot is not None:
            return spot.bounds.translated(sheet.pos())
        whole = QRectF()
        for key in finding.placed_ids:
            if key in scene.piece_items:
                whole = whole.united(scene.frame_of(key).polygon.boundingRect())
        return sheet.film.translated(sheet.pos()) if whole.isNull() else whole

    def _place_on_copy(self, finding: Finding, placed: PlacedPiece) -> QRectF:
        scene, job = self._board.scene, self._board.document.job
        if finding.where_mm is None:
            return scene.frame_of(placed.placed_id).polygon.boundingRect()
        piece = job.piece(placed.piece_id)
        at = QPointF(*point_to_sheet(finding.where_mm, *job.size_of(piece), placed.pose))
        place = scene.matte.place(job.sheet_of(placed.placed_id).sheet_id)
        return QRectF(at + QPointF(place.x_mm, place.y_mm), QSizeF(0, 0))


def _most_telling(findings: list[Finding]) -> list[Finding]:
    """The worst first; among equals those first whose pieces no other has told of yet."""
    told: set[int] = set()
    ranked = []
    for finding in sorted(findings, key=lambda finding: _WORST_FIRST[finding.severity]):
        known = told.intersection(finding.placed_ids)
        if not known:
            told.update(finding.placed_ids)
        ranked.append((_WORST_FIRST[finding.severity], len(known), finding))
    return [finding for *_, finding in sorted(ranked, key=lambda one: one[:2])]


def _spots_by_piece(
    job: Job, findings: Iterable[Finding], known: dict[int, _ArtSpots]
) -> dict[int, _ArtSpots]:
    """The spots of each piece's art; those that are known already stay the same objects."""
    pieces = {piece.piece_id: piece for piece in job.pieces}
    told: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.piece_id in pieces and finding.sheet_id is None:
            told.setdefault(finding.piece_id, []).append(finding)
    found: dict[int, _ArtSpots] = {}
    for piece_id, of_piece in told.items():
        piece, old = pieces[piece_id], known.get(piece_id)
        if old is not None and old.is_true_for(piece) and old.findings == tuple(of_piece):
            found[piece_id] = old
            continue
        width_mm, height_mm = job.size_of(piece)
        spots = (spot_of(finding, (-width_mm / 2, -height_mm / 2)) for finding in of_piece)
        placed_spots = tuple(spot for spot in spots if spot is not None)
        if placed_spots:
            found[piece_id] = _ArtSpots(piece, tuple(of_piece), placed_spots)
    return found
