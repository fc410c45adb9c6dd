"""The findings on the layout proof: each with its severity, place and measure, and who waived it."""

from collections.abc import Sequence

from layout_core.checks.findings import Finding, Severity
from layout_core.outputs.drawing import Box, Part, line
from layout_core.outputs.proof_header import plural
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    ACCENT,
    ACCENT_FILL,
    MUTED,
    RULE,
    SEVERITY_COLOURS,
    SEVERITY_WORDS,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    severity_mark,
    stacked,
)

_MOST_ROWS = 40
_ORDER = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}

Alike = tuple[Finding, ...]
"""Findings of one rule and severity on one piece or sheet, waived alike; the worst first."""


def findings(scope: ProofScope) -> Block:
    """Open findings first, the gravest on top; beyond a page of them the rest is counted, not hidden."""
    if not scope.findings:
        return stacked([heading("Findings"), _all_clear()], 14)
    groups = _groups(scope)
    aside = _tally(scope)
    rows = [_row(scope, group) for group in groups[:_MOST_ROWS]]
    left = [found for group in groups[_MOST_ROWS:] for found in group]
    return stacked([heading("Findings", aside), *rows, _rest(left)], 0)


def _tally(scope: ProofScope) -> str:
    """How many await an answer, how many a person accepted, and how many only inform."""
    waived = sum(scope.waiver(found) is not None for found in scope.findings)
    notes = sum(found.severity is Severity.NOTE and scope.waiver(found) is None for found in scope.findings)
    counts = [f"{len(scope.findings) - waived - notes} open", f"{waived} waived"]
    return ", ".join([*counts, plural(notes, "note")] if notes else counts)


def _groups(scope: ProofScope) -> list[Alike]:
    alike: dict[object, list[Finding]] = {}
    for found in scope.findings:
        waiver = scope.waiver(found)
        accepted = (waiver.who, waiver.reason) if waiver else None
        pair = found.placed_ids if found.sheet_id is not None else ()
        key = (found.rule, found.piece_id, found.sheet_id, pair, found.severity, accepted)
        alike.setdefault(key, []).append(found)
    groups = [tuple(group) for group in alike.values()]
    return sorted(groups, key=lambda group: (scope.waiver(group[0]) is not None, _ORDER[group[0].severity]))


def _all_clear() -> Block:
    return Block(
        66,
        (
            Box(0, 0, WIDTH, 62, ACCENT_FILL, radius=10),
            one_line(24, 40, "Every check of line, gap, size, spacing and resolution passed.", 22, WIDTH - 48,
                     weight="semibold", fill=ACCENT),
        ),
    )  # fmt: skip


def _row(scope: ProofScope, group: Alike) -> Block:
    found = group[0]
    waiver = scope.waiver(found)
    colour = SEVERITY_COLOURS[found.severity]
    message = paragraph(560, 8, _message(group), 21, 740, weight="medium", lines=4, leading=1.34)
    if waiver is None:
        word = "For information" if found.severity is Severity.NOTE else "Open"
        verdict = paragraph(1340, 8, word, 20, WIDTH - 1340, weight="bold", fill=colour)
    else:
        text = f"Waived by {waiver.who}: {waiver.reason}"
        verdict = paragraph(1340, 8, text, 19, WIDTH - 1340, fill=MUTED, lines=5, leading=1.34)
    height = max(message.height, verdict.height, 30.0) + 22
    parts: tuple[Part, ...] = (
        *severity_mark(20, 26, 17, found.severity),
        one_line(52, 33, SEVERITY_WORDS[found.severity], 21, 100, weight="bold", fill=colour),
        *_where(scope, found),
        *message.parts,
        *verdict.parts,
        line((0, height), (WIDTH, height), RULE, 1),
    )
    return Block(height, parts)


def _message(group: Alike) -> str:
    """The worst one's words, how many more there are, and any that sums up the rest."""
    sums = [found.message for found in group[1:] if found.measured is None]
    alike = len(group) - 1 - len(sums)
    more = [f"{alike} more like it"] if alike else []
    return "; ".join([group[0].message, *more, *sums])


def _where(scope: ProofScope, found: Finding) -> tuple[Part, ...]:
    """The piece by number and name, or the sheet."""
    known = {piece.piece_id: piece for piece in scope.job.pieces}
    if found.sheet_id is not None:
        sheet = next((sheet for sheet in scope.job.sheets if sheet.sheet_id == found.sheet_id), None)
        return (one_line(170, 33, sheet.name if sheet else "a sheet", 21, 370),)
    piece = known.get(found.piece_id or -1)
    if piece is None:
        return (one_line(170, 33, "the job", 21, 370),)
    return (*badge(187, 26, scope.number(piece.piece_id), 16), one_line(214, 33, piece.name, 21, 326))


def _rest(left: Sequence[Finding]) -> Block:
    if not left:
        return Block(0, ())
    counts = [
        plural(count, SEVERITY_WORDS[severity].lower())
        for severity in Severity
        if (count := sum(found.severity is severity for found in left))
    ]
    text = f"And {', '.join(counts)} more; the program's findings panel lists them all."
    return paragraph(0, 10, text, 20, WIDTH, fill=MUTED, lines=2)
