"""How the panels put a job into words: pieces, placements, sizes, what is on order and what is laid."""

from collections.abc import Iterable

from app.widgets.marks import Mark
from layout_core.checks.findings import Finding, Severity
from layout_core.job.model import Job, Piece
from layout_core.units import Unit, write_length, write_number

MARK_OF = {Severity.STOP: Mark.STOP, Severity.CAUTION: Mark.CAUTION, Severity.NOTE: Mark.NOTE}

GARMENT_SIZES = ("toddler", "youth", "adult", "plus")

RULE_TITLES = {
    "line_weight": "Line too fine to print",
    "neck": "Narrow neck in a line",
    "gap": "Gap fills in when pressed",
    "bridge": "Narrow bridge of ground",
    "speck": "Speck too small to hold",
    "pinhole": "Pinhole closes up",
    "spacing": "Pieces too close",
    "overlap": "Pieces overlap",
    "margin": "Too near the sheet's edge",
    "sheet_bounds": "Off the sheet",
    "element_area": "Part too small to glow",
    "resolution": "Picture too coarse",
    "size_unknown": "Size not stated in the file",
    "placement_size": "Large for its placement",
    "copies": "Copies differ from the order",
    "promise": "Misses the promise in the dark",
    "glow_ground": "Light cloth under the glow",
    "day_contrast": "Hardly shows by day",
    "underbase": "No white under the print",
    "underbase_differs": "Underbase reckoned, not printed, or the reverse",
}
_TITLES_BY_START = (
    ("font_missing_", "Font missing, words left out"),
    ("fabric_", "Fabric needs care at the press"),
    ("approval_void", "Changed since the customer signed"),
)


def titled(key: str) -> str:
    """A table key as it stands on screen: "left chest" becomes "Left chest", "plus" "2XL and up"."""
    return "2XL and up" if key == "plus" else key[:1].upper() + key[1:]


def counted(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun: "1 piece", "7 pieces"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def percent(share: float) -> str:
    """A share as it stands everywhere on screen: "78 %"."""
    return f"{100.0 * share:.0f} %"


def rule_title(rule: str) -> str:
    """The heading of a rule's findings; some rules name their subject after a common beginning."""
    known = next((title for start, title in _TITLES_BY_START if rule.startswith(start)), None)
    return known or RULE_TITLES.get(rule, titled(rule.replace("_", " ")))


def piece_line(piece: Piece, unit: Unit) -> str:
    """Placement, garment size and width on one line: "Full front · adult · 11 in"."""
    size = "2XL and up" if piece.garment_size == "plus" else piece.garment_size
    return " · ".join((titled(piece.placement), size, write_length(piece.width_mm, unit)))


def size_words(width_mm: float, height_mm: float, unit: Unit) -> str:
    """Both sides with the unit said once: "11 × 8.4 in"."""
    return f"{bare_size(width_mm, height_mm, unit)} {unit}"


def bare_size(width_mm: float, height_mm: float, unit: Unit) -> str:
    """Both sides where the unit stands elsewhere, as in the head of a column: "11 × 8.4"."""
    decimals = 2 if unit == "in" else 0
    return f"{write_number(width_mm, unit, decimals)} × {write_number(height_mm, unit, decimals)}"


def on_order(job: Job, piece_id: int) -> int:
    """How many garments of all orders get the piece."""
    return sum(line.count for order in job.orders for line in order.lines if line.piece_id == piece_id)


def open_findings(job: Job, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that nobody has waived."""
    waived = {waiver.finding_key for waiver in job.waivers}
    return tuple(finding for finding in findings if finding.key not in waived)


def of_piece(findings: Iterable[Finding], piece_id: int) -> tuple[Finding, ...]:
    """The findings about the piece's own art."""
    return tuple(finding for finding in findings if finding.piece_id == piece_id)


def worst(findings: Iterable[Finding]) -> Severity | None:
    present = {finding.severity for finding in findings}
    return next((severity for severity in Severity if severity in present), None)


def severity_words(findings: Iterable[Finding]) -> str:
    """Stops and cautions counted, "1 stop · 2 cautions"; notes only where there is nothing worse."""
    tally = dict.fromkeys(Severity, 0)
    for finding in findings:
        tally[finding.severity] += 1
    words = [
        counted(tally[severity], severity.value)
        for severity in (Severity.STOP, Severity.CAUTION)
        if tally[severity]
    ]
    if not words and tally[Severity.NOTE]:
        return counted(tally[Severity.NOTE], "note")
    return " · ".join(words) or "nothing to fix"


def piece_tag(job: Job, piece: Piece, findings: Iterable[Finding]) -> tuple[str, Mark | None]:
    """The one thing worth saying at the end of a piece's row, and its mark where it is a warning."""
    own = open_findings(job, of_piece(findings, piece.piece_id))
    stops = sum(finding.severity is Severity.STOP for finding in own)
    if stops:
        return counted(stops, "stop"), Mark.STOP
    mark = Mark.CAUTION if worst(own) is Severity.CAUTION else None
    ordered = on_order(job, piece.piece_id)
    if ordered:
        return f"{ordered:,} on order", mark
    if piece.filler:
        return "filler", mark
    laid = job.copies_placed(piece.piece_id)
    return "laid" if laid == piece.copies else f"{laid:,} of {piece.copies:,} laid", mark


def owner_words(job: Job, piece: Piece) -> str:
    """Whose the piece is: "for Tide-pool walk" or "for the shop"."""
    if piece.order_id is None:
        return "for the shop"
    return f"for {job.order(piece.order_id).name}"
