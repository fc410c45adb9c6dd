"""The repairs in the menu of a piece's art: those that may do something, whether a finding asks or not."""

from functools import partial

from PySide6.QtWidgets import QMenu

from app.wiring import Workbench
from layout_core.checks.fixes import offered_fixes
from layout_core.job.edits_repair import is_done
from layout_core.job.model import Piece


def add_repairs(menu: QMenu, bench: Workbench, piece: Piece) -> QMenu:
    """A submenu with the repairs of the piece's art at its size, and the way back from those done."""
    job, repairing = bench.document.job, bench.repairing
    art = job.art(piece.art_id)
    repairs = menu.addMenu("Repair")
    for fix in offered_fixes(art.artwork, piece.width_mm, job.limits, bench.settings.unit):
        text = f"{fix.text}: {piece.name}"
        entry = repairs.addAction(fix.text, partial(repairing.start, text, {art.art_id: [fix.repair]}))
        entry.setEnabled(not is_done(art, fix.repair))
    repairs.addSeparator()
    back = repairs.addAction("Take the repairs back", partial(repairing.take_back, art.art_id))
    back.setEnabled(bool(art.repairs))
    return repairs
