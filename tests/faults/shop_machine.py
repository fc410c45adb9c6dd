"""A shop at work as a state machine: edits, undo, saves and snapshots that fail, crashes, and what is left.

The rules it holds to, after any step: the job file is the last save that reported success; a failed save
leaves the job, its undo steps and the unsaved mark; after a crash the newest snapshot is offered, and
restoring it deletes nothing; undo and redo lead through exactly the jobs that were there.
"""

import errno
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from app.document import Document
from layout_core.errors import SaveError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.file import job_bytes
from layout_core.job.model import Job
from layout_core.job.snapshots import SnapshotKeeper, discard, recoverable, restore
from layout_core.packing.autopack import autopack
from tests.faults.held import open_handles
from tests.faults.io_loop import leftovers
from tests.faults.saves import let_die
from tests.faults.system_calls import Faults, stand_between
from tests.make import make_artwork, make_job

CODES = (errno.ENOSPC, errno.EIO, errno.EACCES)
far = st.floats(-200.0, 200.0)
faults = st.one_of(
    st.none(),
    st.builds(
        Faults, st.integers(1, 16), st.sampled_from(CODES), lasting=st.just(value=False), half=st.booleans()
    ),
)


class ShopMachine(RuleBasedStateMachine):
    """One window on one job, in a folder of its own."""

    @initialize()
    def begin(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.path, self.kept = self.folder / "night.duskjob", self.folder / "kept"
        self.document, self.keeper = Document(make_job()), SnapshotKeeper(self.kept)
        self.document.save(self.path)
        self.on_disk = self.path.read_bytes()
        self.newest_kept: bytes | None = None
        self.jobs, self.at = [self.document.job], 0
        self.handles = open_handles()
        self.steps = self.undo_steps = 0

    def teardown(self) -> None:
        if hasattr(self, "folder"):
            shutil.rmtree(self.folder, ignore_errors=True)

    def _edit(self, words: str, edited: Job) -> None:
        if self.document.apply(words, lambda _: edited):
            self.jobs = [*self.jobs[: self.at + 1], self.document.job]
            self.at += 1

    def _placed(self) -> list[int]:
        return [placed.placed_id for sheet in self.document.job.sheets for placed in sheet.placed]

    @rule(width=st.floats(5.0, 80.0))
    def add(self, width: float) -> None:
        job = self.document.job
        art_id = job.next_id
        job = edits.add_art(job, make_artwork())
        self._edit("Add", edits.add_piece(job, art_id, width_mm=width, filler=True))

    @rule(pick=st.integers(0, 99), x=far, y=far)
    def lay(self, pick: int, x: float, y: float) -> None:
        job = self.document.job
        if job.pieces and len(self._placed()) < 40:
            piece = job.pieces[pick % len(job.pieces)]
            self._edit("Lay", edits.place_piece(job, job.sheets[0].sheet_id, piece.piece_id, Pose(x, y)))

    @precondition(lambda self: self._placed())
    @rule(pick=st.integers(0, 99), x=far, y=far, deed=st.sampled_from(["move", "turn", "double", "delete"]))
    def change(self, pick: int, x: float, y: float, deed: str) -> None:
        job, placed = self.document.job, self._placed()
        one = [placed[pick % len(placed)]]
        if deed == "move":
            self._edit(deed, edits.move_placed(job, one, x, y))
        elif deed == "turn":
            self._edit(deed, edits.turn_placed(job, one, x))
        elif deed == "delete":
            self._edit(deed, edits.delete_placed(job, one))
        elif len(placed) < 40:
            self._edit(deed, edits.duplicate_placed(job, one, x, y))

    @precondition(lambda self: any(piece.filler for piece in self.document.job.pieces))
    @rule()
    def pack(self) -> None:
        if len(self._placed()) < 20:
            self._edit("Pack", autopack(self.document.job, seconds=0.01).job)

    @rule(times=st.integers(1, 4))
    def undo(self, times: int) -> None:
        for _ in range(times):
            if self.document.undo_stack.canUndo():
                self.document.undo_stack.undo()
                self.at -= 1
                self.undo_steps += 1
                assert self.document.job == self.jobs[self.at]

    @rule(times=st.integers(1, 4))
    def redo(self, times: int) -> None:
        for _ in range(times):
            if self.document.undo_stack.canRedo():
                self.document.undo_stack.redo()
                self.at += 1
                self.undo_steps += 1
                assert self.document.job == self.jobs[self.at]

    @rule(fault=faults)
    def save(self, fault: Faults | None) -> None:
        before = self.document.job, self.document.undo_stack.count(), self.document.is_dirty
        if self._done(fault, self.document.save):
            self.on_disk = job_bytes(self.document.job)
            assert not self.document.is_dirty
        else:
            assert (self.document.job, self.document.undo_stack.count(), self.document.is_dirty) == before

    @precondition(lambda self: self.document.is_dirty)
    @rule(fault=faults)
    def keep(self, fault: Faults | None) -> None:
        job = self.document.job
        if self._done(fault, lambda: self.keeper.write(job, self.path)):
            self.newest_kept = job_bytes(job)

    def _done(self, fault: Faults | None, work: object) -> bool:
        """Whether the work reported success, with the fault let loose."""
        assert callable(work)
        try:
            with pytest.MonkeyPatch.context() as patch:
                if fault is not None:
                    fault.count = 0
                    stand_between(patch, fault)
                work()
        except SaveError:
            return False
        return True

    @precondition(lambda self: self.document.is_dirty)
    @rule()
    def crash_and_come_back(self) -> None:
        """The newest snapshot is offered, unless the file holds it; without one the file is opened."""
        let_die(self.kept)
        found = recoverable(self.kept)
        wanted = self.newest_kept if self.newest_kept not in (None, self.on_disk) else None
        assert [job_bytes(restore(left)) for left in found] == ([] if wanted is None else [wanted])
        self.document, self.keeper = Document(), SnapshotKeeper(self.kept)
        if found:
            assert all(snapshot.exists() for snapshot in found[0].snapshots)
            self.document.adopt(restore(found[0]), self.path, is_saved=False)
            self.keeper.follow(found[0])
            assert self.document.is_dirty
        else:
            self.document.open(self.path)
            self.newest_kept = None
            shutil.rmtree(self.kept, ignore_errors=True)
        self.jobs, self.at = [self.document.job], 0

    @precondition(lambda self: not self.document.is_dirty and self.newest_kept is not None)
    @rule()
    def end_in_peace(self) -> None:
        let_die(self.kept)
        for left in recoverable(self.kept):
            discard(left)
        shutil.rmtree(self.kept, ignore_errors=True)
        self.keeper, self.newest_kept = SnapshotKeeper(self.kept), None

    @invariant()
    def the_file_is_the_last_reported_save(self) -> None:
        if hasattr(self, "path"):
            self.steps += 1
            assert self.path.read_bytes() == self.on_disk
            assert leftovers(self.folder) == set()
            assert open_handles() <= self.handles
            assert self.document.job == self.jobs[self.at]
