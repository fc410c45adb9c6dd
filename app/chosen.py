"""What can be done to the chosen pieces, each as one undo step."""

from app.document import Document
from app.selection import Selection
from layout_core.job import edits

DUPLICATE_STEP_MM = 6.35
"""A quarter inch right and down: the second copy is seen to be another one. Our choice."""


class Chosen:
    """Acts on the selection through the document; with nothing chosen it does nothing."""

    def __init__(self, document: Document, selection: Selection) -> None:
        self._document = document
        self._selection = selection

    def nudge(self, dx_mm: float, dy_mm: float) -> bool:
        """Shift the chosen copies; nudges in a row of the same ones are one step."""
        ids = self._selection.placed_ids
        if not ids:
            return False
        key = f"nudge {sorted(ids)}"
        return self._document.apply(
            _named("Move", len(ids)), lambda job: edits.move_placed(job, ids, dx_mm, dy_mm), key
        )

    def turn(self, by_deg: float) -> bool:
        """Turn the chosen copies clockwise about the middle of them; turns in a row are one step."""
        ids = self._selection.placed_ids
        if not ids:
            return False
        key = f"turn {sorted(ids)}"
        return self._document.apply(
            _named("Turn", len(ids)), lambda job: edits.turn_placed(job, ids, by_deg), key
        )

    def duplicate(self) -> bool:
        """Lay a second of each chosen copy beside it, and choose the new ones."""
        ids = self._selection.placed_ids
        if not ids:
            return False
        first = self._document.job.next_id
        step = DUPLICATE_STEP_MM
        done = self._document.apply(
            _named("Duplicate", len(ids)), lambda job: edits.duplicate_placed(job, ids, step, step)
        )
        if done:
            self._selection.choose_placed(range(first, first + len(ids)))
        return done

    def delete(self) -> bool:
        """Take the chosen copies off their sheets, or the chosen piece out of the job."""
        ids, piece_id = self._selection.placed_ids, self._selection.piece_id
        if ids:
            return self._document.apply(_named("Delete", len(ids)), lambda job: edits.delete_placed(job, ids))
        if piece_id is None:
            return False
        name = self._document.job.piece(piece_id).name
        return self._document.apply(f"Remove {name}", lambda job: edits.remove_piece(job, piece_id))

    @property
    def are_locked(self) -> bool:
        """True when there are chosen copies and every one is locked."""
        ids = self._selection.placed_ids
        locks = [p.locked for sheet in self._document.job.sheets for p in sheet.placed if p.placed_id in ids]
        return bool(locks) and all(locks)

    def toggle_lock(self) -> bool:
        """Lock the chosen copies, or free them when all are locked."""
        ids, lock = self._selection.placed_ids, not self.are_locked
        if not ids:
            return False
        verb = "Lock" if lock else "Unlock"
        return self._document.apply(_named(verb, len(ids)), lambda job: edits.lock_placed(job, ids, lock))

    def choose_all(self) -> None:
        """Choose everything that lies on the sheets."""
        job = self._document.job
        self._selection.choose_placed(p.placed_id for sheet in job.sheets for p in sheet.placed)


def _named(verb: str, count: int) -> str:
    return f"{verb} piece" if count == 1 else f"{verb} {count} pieces"
