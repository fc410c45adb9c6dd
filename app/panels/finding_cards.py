"""Makes and joins the cards of findings: showing where, stepping through places, waiving, taking back."""

from collections.abc import Callable, Sequence

from app.panels.finding_fixes import card_fixes
from app.panels.finding_groups import FindingGroup
from app.panels.job_words import MARK_OF
from app.widgets.finding_card import FindingCard
from app.widgets.marks import Mark
from app.wiring import Workbench
from layout_core.checks.findings import Finding, Severity
from layout_core.job.edits import unwaive, waive
from layout_core.job.model import Job

MOST_CARDS = 60
"""Sixty copies in a pile have two thousand findings; as many cards would hold the window up. Invented."""


def told_and_left(groups: Sequence[FindingGroup]) -> tuple[Sequence[FindingGroup], str]:
    """The groups that get a card, worst first as they come, and words on those that wait; or none."""
    left = len(groups) - MOST_CARDS
    return groups[:MOST_CARDS], f"{left:,} more follow as these are mended or waived." if left > 0 else ""


def make_card(
    bench: Workbench, group: FindingGroup, show: Callable[[Finding], None], *, names_subject: bool
) -> FindingCard:
    """A card whose buttons work; "Show" steps through the places of the group, worst first."""
    waiver = group.waiver
    subject = group.subject if names_subject or group.first.sheet_id is not None else ""
    detail = "\n".join(words for words in (subject, group.detail(bench.settings.unit)) if words)
    fixes = card_fixes(bench, group)
    card = FindingCard(
        MARK_OF[group.severity] if waiver is None else Mark.CHECK,
        group.title,
        detail,
        group.first.message,
        bench.theme,
        fixes=[fix.text for fix in fixes],
        waiver="" if waiver is None else f"Waived by {waiver.who}: {waiver.reason}",
        may_waive=group.severity is not Severity.NOTE,
    )
    place = 0

    def show_next() -> None:
        nonlocal place
        show(group.findings[place % len(group.findings)])
        place += 1
        if len(group.findings) > 1:
            card.show_button.setText(f"Show next ({place} of {len(group.findings)})")
            place %= len(group.findings)

    card.show_asked.connect(show_next)
    card.fix_asked.connect(lambda number: fixes[number].act())
    card.waived.connect(lambda who, reason: _waive(bench, group, who, reason))
    card.unwaived.connect(lambda: _take_back(bench, group))
    return card


def _waive(bench: Workbench, group: FindingGroup, who: str, reason: str) -> None:
    def edit(job: Job) -> Job:
        for finding in group.findings:
            job = waive(job, finding.key, who, reason)
        return job

    bench.document.apply(f"Waive {group.title.lower()}", edit)


def _take_back(bench: Workbench, group: FindingGroup) -> None:
    def edit(job: Job) -> Job:
        for finding in group.findings:
            job = unwaive(job, finding.key)
        return job

    bench.document.apply(f"Take back the waiver of {group.title.lower()}", edit)
