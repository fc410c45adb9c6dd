"""What would make a piece keep the promise, as whole-piece remedies a person can ask for by one click."""

import math
from dataclasses import dataclass

from layout_core.art.repair import Repair, RepairKind
from layout_core.checks.cache import CheckCache
from layout_core.checks.misses import FixKind, Miss
from layout_core.checks.promise import promise_misses
from layout_core.glow.bands import garment_colours
from layout_core.job.bounds import MOST_PIECE_MM
from layout_core.job.model import Job, Piece
from layout_core.progress import Progress, no_progress
from layout_core.units import Unit, write_length

_REPAIRS: dict[FixKind, RepairKind] = {"thicken": "thicken", "open": "open", "solid": "solid"}


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way for the whole piece: a repair of its art, or another width (mm)."""

    text: str
    repair: Repair | None = None
    width_mm: float | None = None


def piece_misses(
    job: Job, piece: Piece, cache: CheckCache | None = None, progress: Progress = no_progress
) -> tuple[Miss, ...]:
    """What of the piece misses the job's promise, worst first; nothing where the job promises nothing."""
    lighting = job.lighting
    if lighting is None or lighting.promise is None:
        return ()
    colour = garment_colours(job, piece)[0]
    return promise_misses(job.artwork_of(piece), piece.width_mm, lighting, colour, cache, progress)


def remedies(
    job: Job, piece: Piece, misses: tuple[Miss, ...], *, parts: bool = False, unit: Unit = "in"
) -> tuple[Remedy, ...]:
    """The remedies of all whole elements that miss the promise, or of fine parts only, the gentlest first.

    Each is as strong as the worst of its kind asks for. An element that needs another kind may be left.
    """
    most: dict[FixKind, float] = {}
    for miss in misses:
        if miss.is_part is parts:
            for fix in miss.fixes:
                most[fix.kind] = max(most.get(fix.kind, 0.0), fix.amount)
    made = (_remedy(job, piece, kind, amount, unit) for kind, amount in most.items())
    return tuple(remedy for remedy in made if remedy is not None)


def _remedy(job: Job, piece: Piece, kind: FixKind, amount: float, unit: Unit) -> Remedy | None:
    if kind == "enlarge":
        width_mm = math.ceil(piece.width_mm * amount / 10.0) / 10.0
        if width_mm > min(MOST_PIECE_MM, _longest_mm(job)):
            return None
        words = write_length(width_mm, unit, 2 if unit == "in" else 0)
        return Remedy(f"Enlarge to {amount:,.0f} %, {words} wide", width_mm=width_mm)
    # A gap may be opened only where the finest line is left of the ink beside it.
    keep_mm = job.limits.line_caution_mm if kind == "open" else 0.0
    text = "Make solid" if kind == "solid" else f"{kind.capitalize()} to {write_length(amount, unit)}"
    return Remedy(text, Repair(_REPAIRS[kind], amount, piece.width_mm, keep_mm))


def _longest_mm(job: Job) -> float:
    """The longest side of the job's sheets: what is wider fits none of them, however it is turned."""
    return max((max(sheet.width_mm, sheet.length_mm) for sheet in job.sheets), default=MOST_PIECE_MM)
