"""What `letter`, `names` and `fonts` print: the JSON documents, and the lines for people."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from app.reports import check_document, check_lines, finding_document
from layout_core.art.artwork import Artwork
from layout_core.art.fonts import FontShelf
from layout_core.art.lettering import Lettering, checked_lettering, lettering_artwork
from layout_core.checks.report import ArtReport
from layout_core.checks.run import check_artwork
from layout_core.checks.smallest_size import SmallestSize, smallest_cap_height
from layout_core.job.limits import PrintLimits
from layout_core.job.model import Job, Piece
from layout_core.progress import Progress, within
from layout_core.units import write_length, write_number


@dataclass(frozen=True, slots=True)
class Lettered:
    """Lettering, the art it became, what the checks say of it, and how small it may be set."""

    lettering: Lettering
    artwork: Artwork
    report: ArtReport
    smallest: SmallestSize | None


def lettered(lettering: Lettering, limits: PrintLimits, progress: Progress) -> Lettered:
    """Makes and checks the lettering. Raises LetteringError."""
    tidy = checked_lettering(lettering)
    artwork = lettering_artwork(tidy)
    report = check_artwork(artwork, artwork.width_mm, limits, progress=within(progress, 0.0, 0.3))
    return Lettered(tidy, artwork, report, smallest_cap_height(tidy, limits, within(progress, 0.3, 1.0)))


def letter_document(art: str, made: Lettered) -> dict[str, Any]:
    """As `check_document`, with font, cap height and the least cap height that passes (null: none)."""
    smallest = made.smallest
    return {
        **check_document(art, made.artwork, made.report),
        "text": made.lettering.text,
        "font": made.lettering.font,
        "cap_height_mm": round(made.lettering.cap_height_mm, 4),
        "smallest_cap_height_mm": None if smallest is None else round(smallest.cap_height_mm, 4),
        "smallest_held_by": None if smallest is None else smallest.held_by,
    }


def letter_lines(art: str, made: Lettered) -> list[str]:
    """The lettering for a person, in inches."""
    smallest = made.smallest
    size = (
        "no cap height passes as it is set; widen the contour or choose a heavier font"
        if smallest is None
        else f"smallest cap height that passes: {write_length(smallest.cap_height_mm)}"
    )
    font = f"{made.lettering.font}, cap height {write_length(made.lettering.cap_height_mm)}"
    return [*check_lines(art, made.artwork, made.report), f"  {font}; {size}"]


def names_document(job: Job, pieces: Sequence[Piece], reports: Sequence[ArtReport]) -> list[dict[str, Any]]:
    """One object a row of the list."""
    return [
        {
            "piece": piece.name,
            "copies": piece.copies,
            "size_mm": [round(length, 4) for length in job.size_of(piece)],
            "findings": [finding_document(finding) for finding in report.findings],
        }
        for piece, report in zip(pieces, reports, strict=True)
    ]


def names_lines(job: Job, pieces: Sequence[Piece], reports: Sequence[ArtReport]) -> list[str]:
    """A line a row of the list, then a line for each of its findings."""
    lines = []
    for piece, report in zip(pieces, reports, strict=True):
        width_mm, height_mm = job.size_of(piece)
        lines.append(f"{piece.copies} x {piece.name}: {write_number(width_mm)} x {write_length(height_mm)}")
        lines += [f"  {finding.severity!s:<8} {finding.message}" for finding in report.findings]
    return lines


def fonts_document(shelf: FontShelf) -> dict[str, Any]:
    """Every face by name, and a sentence for each file that cannot be used."""
    return {
        "fonts": [
            {"name": face.name, "bundled": face.is_bundled, "suits": face.suits or None}
            for face in shelf.faces
        ],
        "refused": list(shelf.refused),
    }


def fonts_lines(shelf: FontShelf) -> list[str]:
    """The bundled faces with what they are like, the installed ones, and what cannot be used."""
    lines = [f"{face.name} ({face.suits}; comes along)" for face in shelf.faces if face.is_bundled]
    lines += [face.name for face in shelf.faces if not face.is_bundled]
    return [*lines, *(f"not usable: {reason}" for reason in shelf.refused)]
