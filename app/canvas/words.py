"""What the canvas says in words, for its labels and for the lists that stand beside it."""

from app.canvas.drag import Room, Verdict
from app.canvas.rulers import RulerUnit
from layout_core.checks.findings import Finding
from layout_core.job.model import Job, Piece
from layout_core.units import write_length, write_number

_DECIMALS = {"in": 2, "mm": 1}


def write_size(width_mm: float, height_mm: float, unit: RulerUnit) -> str:
    """A size as a person reads it, e.g. "11 × 9.38 in"."""
    places = _DECIMALS[unit]
    return f"{write_number(width_mm, unit, places)} × {write_number(height_mm, unit, places)} {unit}"


def write_room(room: Room, gap_mm: float, unit: RulerUnit) -> str:
    """The label of a distance while something is carried; empty when there is nothing to say."""
    if room.verdict not in (Verdict.CLEAR, Verdict.CLOSE):
        return str(room.verdict)
    if room.distance_mm is None:
        return ""
    text = write_length(room.distance_mm, unit, _DECIMALS[unit])
    if room.verdict is Verdict.CLEAR:
        return text
    if text == write_length(gap_mm, unit, _DECIMALS[unit]):
        text = write_length(room.distance_mm, unit, _DECIMALS[unit] + 1)
    return f"{text} · {room.verdict}"


def write_finding(finding: Finding, unit: RulerUnit) -> str:
    """The label of a finding about the layout: a distance between two, else a word."""
    if finding.rule == "spacing" and finding.measured is not None and finding.unit == "mm":
        return write_length(finding.measured, unit, _DECIMALS[unit])
    return {"overlap": "overlap", "sheet_bounds": "off the sheet", "margin": "in the margin"}.get(
        finding.rule, ""
    )


def describe_placed(job: Job, placed_id: int, unit: RulerUnit = "in") -> str:
    """One placed piece in a sentence: name, size, sheet, place, turn, lock. KeyError for an unknown id.

    The place is that of the piece's centre, measured from the sheet's top-left corner.
    """
    sheet, placed = job.sheet_of(placed_id), job.placed(placed_id)
    piece, pose, places = job.piece(placed.piece_id), placed.pose, _DECIMALS[unit]
    parts = [
        f"{piece.name}, {write_size(*job.size_of(piece), unit)}",
        f"{sheet.name}, {write_length(pose.x_mm, unit, places)} from the left"
        f" and {write_length(pose.y_mm, unit, places)} from the top",
    ]
    if pose.turn_deg:
        parts.append(f"turned {pose.turn_deg:g}°")
    if piece.filler:
        parts.append("filler")
    if placed.locked:
        parts.append("locked")
    return "; ".join(parts)


def describe_job(job: Job) -> str:
    """What lies on the matte, for the canvas's accessible description."""
    if not job.sheets:
        return "No sheet yet."
    told = (f"{sheet.name}: {_counted(len(sheet.placed), 'piece')}" for sheet in job.sheets)
    count = _counted(len(job.sheets), "sheet")
    return f"{count}. {'; '.join(told)}. The same facts stand in the lists beside it."


def step_name(verb: str, job: Job, placed_ids: frozenset[int]) -> str:
    """The name of an undo step, e.g. "Move Lantern" or "Move 3 pieces"."""
    if len(placed_ids) == 1:
        return f"{verb} {piece_of(job, next(iter(placed_ids))).name}"
    return f"{verb} {len(placed_ids)} pieces"


def piece_of(job: Job, placed_id: int) -> Piece:
    """The piece that a placed one is a copy of."""
    return job.piece(job.placed(placed_id).piece_id)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
