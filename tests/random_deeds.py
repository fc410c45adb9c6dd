"""What a person could do in the window, chosen by chance."""

import random

from app.panels.station_figures import STATIONS
from app.window import MainWindow

EDITS = [
    "duplicate",
    "turn_right",
    "turn_left",
    "lock",
    "delete",
    "cut",
    "copy",
    "paste",
    "add_sheet",
    "remove_sheet",
    "select_all",
    "select_none",
    "undo",
    "redo",
    "inches",
    "snap",
    "zoom_fit",
]


def act(window: MainWindow, chance: random.Random) -> str:
    """Do one random thing that a person could do now; what it was."""
    bench, job = window.bench, window.bench.document.job
    placed = [p.placed_id for sheet in job.sheets for p in sheet.placed]
    kind = chance.choice(("action", "action", "choose", "nudge", "field", "station", "lay"))
    if kind == "action":
        name = chance.choice(EDITS)
        if window.actions_by_name[name].isEnabled():
            window.actions_by_name[name].trigger()
        return name
    if kind == "choose" and placed:
        bench.selection.choose_placed(chance.sample(placed, min(len(placed), chance.randint(1, 4))))
    elif kind == "nudge":
        window.view.nudge(chance.uniform(-40, 40), chance.uniform(-40, 40))
    elif kind == "field" and bench.selection.piece_id is not None:
        window.right.piece.width_field.committed.emit(chance.uniform(5, 300))
    elif kind == "station":
        window.go_to(chance.choice(STATIONS))
    elif kind == "lay" and job.pieces:
        window.deeds.lay_copy(chance.choice(job.pieces).piece_id)
    return kind
