"""Pure edits of what lies on the sheets.

A locked copy stays: moving, turning and deleting pass over it, and are refused when nothing but locked
copies is asked for. `set_poses`, which says exactly where each copy goes, heeds no lock.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose, cos_sin
from layout_core.job.bounds import MOST_PLACED, checked_pose, checked_total
from layout_core.job.edits_job import known
from layout_core.job.model import Job, PlacedPiece, Sheet


def place_piece(job: Job, sheet_id: int, piece_id: int, pose: Pose) -> Job:
    """The job with one more copy on the sheet, whose placed id is the old `next_id`."""
    return lay_out(job, sheet_id, [(piece_id, pose)])


def lay_out(job: Job, sheet_id: int, copies: Iterable[tuple[int, Pose]]) -> Job:
    """The job with these copies added to the sheet, ids counted up from the old `next_id`."""
    added = []
    known(job.sheet, sheet_id, "sheet")
    for number, (piece_id, pose) in enumerate(copies):
        known(job.piece, piece_id, "piece")
        added.append(PlacedPiece(job.next_id + number, piece_id, checked_pose(pose)))
    return _with_added(job, {sheet_id: added})


def move_placed(job: Job, placed_ids: Iterable[int], dx_mm: float, dy_mm: float) -> Job:
    """The job with the copies shifted on their own sheets."""
    movable = _unlocked(job, placed_ids)
    return set_poses(job, {p.placed_id: p.pose.shifted(dx_mm, dy_mm) for p in movable})


def turn_placed(job: Job, placed_ids: Iterable[int], by_deg: float) -> Job:
    """The job with the copies turned clockwise; several turn together about the mean of their centres."""
    movable = _unlocked(job, placed_ids)
    if len(movable) == 1:
        return set_poses(job, {movable[0].placed_id: movable[0].pose.turned(by_deg)})
    centre_x = sum(placed.pose.x_mm for placed in movable) / len(movable)
    centre_y = sum(placed.pose.y_mm for placed in movable) / len(movable)
    cos, sin = cos_sin(by_deg)

    def turned(pose: Pose) -> Pose:
        dx, dy = pose.x_mm - centre_x, pose.y_mm - centre_y
        return Pose(centre_x + cos * dx - sin * dy, centre_y + sin * dx + cos * dy, pose.turn_deg + by_deg)

    return set_poses(job, {placed.placed_id: turned(placed.pose) for placed in movable})


def set_poses(job: Job, poses: Mapping[int, Pose]) -> Job:
    """The job with these copies, by placed id, exactly there; each stays on its sheet."""
    _asked(job, poses)
    checked = {placed_id: checked_pose(pose) for placed_id, pose in poses.items()}

    def moved(placed: PlacedPiece) -> PlacedPiece:
        pose = checked.get(placed.placed_id, placed.pose)
        return placed if pose == placed.pose else replace(placed, pose=pose)

    return _with_each(job, moved)


def move_to_sheet(job: Job, placed_ids: Iterable[int], sheet_id: int, dx_mm: float, dy_mm: float) -> Job:
    """The job with the copies on that sheet, shifted from where they lay on their own; ids stay."""
    known(job.sheet, sheet_id, "sheet")
    movable = {placed.placed_id: placed for placed in _unlocked(job, placed_ids)}
    arrived = tuple(
        replace(placed, pose=checked_pose(placed.pose.shifted(dx_mm, dy_mm))) for placed in movable.values()
    )

    def changed(sheet: Sheet) -> Sheet:
        left = tuple(placed for placed in sheet.placed if placed.placed_id not in movable)
        if sheet.sheet_id == sheet_id:
            return replace(sheet, placed=left + arrived)
        return sheet if len(left) == len(sheet.placed) else replace(sheet, placed=left)

    return replace(job, sheets=tuple(map(changed, job.sheets)))


def duplicate_placed(job: Job, placed_ids: Iterable[int], dx_mm: float, dy_mm: float) -> Job:
    """The job with an unlocked second of each copy, shifted; ids counted up from the old `next_id`."""
    wanted = {placed.placed_id for placed in _asked(job, placed_ids)}
    added: dict[int, list[PlacedPiece]] = {}
    next_id = job.next_id
    for sheet in job.sheets:
        for placed in sheet.placed:
            if placed.placed_id in wanted:
                pose = checked_pose(placed.pose.shifted(dx_mm, dy_mm))
                added.setdefault(sheet.sheet_id, []).append(PlacedPiece(next_id, placed.piece_id, pose))
                next_id += 1
    return _with_added(job, added)


def delete_placed(job: Job, placed_ids: Iterable[int]) -> Job:
    """The job without these copies."""
    gone = {placed.placed_id for placed in _unlocked(job, placed_ids)}

    def left(sheet: Sheet) -> Sheet:
        placed = tuple(p for p in sheet.placed if p.placed_id not in gone)
        return sheet if len(placed) == len(sheet.placed) else replace(sheet, placed=placed)

    return replace(job, sheets=tuple(map(left, job.sheets)))


def lock_placed(job: Job, placed_ids: Iterable[int], locked: bool) -> Job:
    """The job with these copies locked or free."""
    wanted = {placed.placed_id for placed in _asked(job, placed_ids)}

    def changed(placed: PlacedPiece) -> PlacedPiece:
        if placed.placed_id not in wanted or placed.locked == locked:
            return placed
        return replace(placed, locked=locked)

    return _with_each(job, changed)


def _asked(job: Job, placed_ids: Iterable[int]) -> tuple[PlacedPiece, ...]:
    """The copies in the order of the sheets. Raises LayoutError for an id that lies nowhere or for none."""
    wanted = set(placed_ids)
    found = tuple(p for sheet in job.sheets for p in sheet.placed if p.placed_id in wanted)
    if not wanted:
        raise LayoutError("nothing on a sheet is chosen")
    if len(found) < len(wanted):
        lost = min(wanted - {placed.placed_id for placed in found})
        raise LayoutError(f"nothing with the number {lost} lies on a sheet")
    return found


def _unlocked(job: Job, placed_ids: Iterable[int]) -> tuple[PlacedPiece, ...]:
    asked = _asked(job, placed_ids)
    free = tuple(placed for placed in asked if not placed.locked)
    if not free:
        names = ", ".join(dict.fromkeys(job.piece(placed.piece_id).name for placed in asked[:3]))
        raise LayoutError(f"{names} is locked; unlock it first")
    return free


def _with_each(job: Job, change: Callable[[PlacedPiece], PlacedPiece]) -> Job:
    def changed(sheet: Sheet) -> Sheet:
        placed = tuple(map(change, sheet.placed))
        same = all(new is old for new, old in zip(placed, sheet.placed, strict=True))
        return sheet if same else replace(sheet, placed=placed)

    return replace(job, sheets=tuple(map(changed, job.sheets)))


def _with_added(job: Job, added: Mapping[int, list[PlacedPiece]]) -> Job:
    count = sum(map(len, added.values()))
    checked_total(count + sum(len(sheet.placed) for sheet in job.sheets), "placed pieces", MOST_PLACED)
    sheets = tuple(
        replace(sheet, placed=(*sheet.placed, *added[sheet.sheet_id])) if sheet.sheet_id in added else sheet
        for sheet in job.sheets
    )
    return replace(job, sheets=sheets, next_id=job.next_id + count)
