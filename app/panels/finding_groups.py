"""Findings of one kind about one thing, gathered so that two hundred specks are one card."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.panels.job_words import counted, rule_title
from layout_core.checks.findings import Finding, Severity
from layout_core.job.model import Job, Waiver
from layout_core.units import Unit, write_area, write_length

_SPOKEN = frozenset({"promise"})
"""Rules whose figures say little without the words round them: how far, and what would do."""


@dataclass(frozen=True, slots=True)
class FindingGroup:
    """One or more findings with the same rule, severity and subject, worst first."""

    findings: tuple[Finding, ...]
    subject: str
    waiver: Waiver | None = None

    @property
    def first(self) -> Finding:
        return self.findings[0]

    @property
    def severity(self) -> Severity:
        return self.first.severity

    @property
    def title(self) -> str:
        return rule_title(self.first.rule)

    def detail(self, unit: Unit) -> str:
        """The worst measure, what it should be, and in how many places; of a promise the whole sentence."""
        if self.first.rule in _SPOKEN:
            places = [counted(len(self.findings), "place")] if len(self.findings) > 1 else []
            return " · ".join((self.first.message, *places))
        measured = [finding for finding in self.findings if finding.measured is not None]
        summed_up = [finding.message for finding in self.findings if finding.measured is None]
        words = [measure_words(measured[0], unit)] if measured else []
        if len(measured) > 1:
            words.append(counted(len(measured), "place"))
        return " · ".join((*words, *summed_up))


def grouped(job: Job, findings: Iterable[Finding]) -> tuple[FindingGroup, ...]:
    """Stops first, then cautions, then notes; the waived ones at the end with who and why."""
    waivers = {waiver.finding_key: waiver for waiver in job.waivers}
    gathered: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        waiver = waivers.get(finding.key)
        said = None if waiver is None else (waiver.who, waiver.reason)
        subject = (finding.piece_id, finding.sheet_id, finding.placed_ids)
        key = (finding.severity, finding.rule, subject, said)
        gathered.setdefault(key, []).append(finding)
    groups = [
        FindingGroup(
            tuple(sorted(found, key=_how_bad)), subject_words(job, found[0]), waivers.get(found[0].key)
        )
        for found in gathered.values()
    ]
    order = list(Severity)
    return tuple(sorted(groups, key=lambda group: (group.waiver is not None, order.index(group.severity))))


def subject_words(job: Job, finding: Finding) -> str:
    """What it is about: a piece, or a sheet with the pieces that lie wrong on it; "" for the whole job."""
    names = {piece.piece_id: piece.name for piece in job.pieces}
    if finding.sheet_id is None:
        return names.get(finding.piece_id, "") if finding.piece_id is not None else ""
    sheet = next((sheet for sheet in job.sheets if sheet.sheet_id == finding.sheet_id), None)
    if sheet is None:
        return ""
    pieces = [names[placed.piece_id] for placed in sheet.placed if placed.placed_id in finding.placed_ids]
    return f"{sheet.name}: {' and '.join(pieces)}" if pieces else sheet.name


def measure_words(finding: Finding, unit: Unit) -> str:
    """ "0.024 in, needs 0.028 in" in the unit in force."""
    if finding.measured is None:
        return ""
    measured = _one(finding.measured, finding.unit, unit)
    if finding.limit is None:
        return measured
    word = "at most" if finding.measured > finding.limit else "needs"
    return f"{measured}, {word} {_one(finding.limit, finding.unit, unit)}"


def _one(value: float, of: str, unit: Unit) -> str:
    if of == "mm":
        return write_length(value, unit)
    if of in ("mm2", "mm²"):
        return write_area(value, unit)
    return f"{value:,.0f} {of}".strip()


def _how_bad(finding: Finding) -> float:
    """Lower is worse: how far the measure lies from its limit, as a share of the limit."""
    if finding.measured is None or not finding.limit:
        return 0.0
    return -abs(finding.measured - finding.limit) / finding.limit
