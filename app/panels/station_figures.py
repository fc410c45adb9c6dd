"""What each card of the stations rail says of the job: its state and its one telling figure."""

from collections.abc import Sequence

from app.panels.job_words import MARK_OF, counted, open_findings, percent, severity_words, worst
from app.panels.plan_figures import plan_figures
from app.panels.plan_words import rail_words
from app.panels.sheet_figures import left_to_lay, sheet_use
from app.widgets.marks import Mark
from app.widgets.stations_rail import Station
from layout_core.checks.findings import Finding
from layout_core.job.approvals import approval_state
from layout_core.job.model import Job
from layout_core.plan.prices import PriceList

STATIONS = ("art", "sheets", "findings", "plan", "hand-off")


def stations(
    job: Job,
    findings: Sequence[Finding],
    *,
    is_checking: bool = False,
    proofed: Job | None = None,
    previewed: Job | None = None,
    prices: PriceList | None = None,
) -> tuple[Station, ...]:
    """The five cards; `proofed` is the job that the last proof saved in this sitting shows, `previewed` the
    one that the last proof on screen shows. `prices` are the shop's, when they are known.
    """
    still_open = open_findings(job, findings)
    return (
        _art(job, still_open),
        _sheets(job),
        _findings(job, still_open, is_checking),
        _plan(job, prices),
        _hand_off(job, proofed, previewed),
    )


def _art(job: Job, findings: Sequence[Finding]) -> Station:
    if not job.pieces:
        return Station("art", "Art", Mark.PENDING, "no art yet")
    unsized = len({finding.piece_id for finding in findings if finding.rule == "size_unknown"})
    if unsized:
        return Station("art", "Art", Mark.CAUTION, f"{counted(unsized, 'size')} to choose")
    return Station("art", "Art", Mark.CHECK, counted(len(job.pieces), "piece"))


def _sheets(job: Job) -> Station:
    used = [sheet for sheet in job.sheets if sheet.placed]
    if not used:
        return Station("sheets", "Sheets", Mark.PENDING, "nothing laid yet")
    figure = f"{counted(len(job.sheets), 'sheet')} · {percent(sheet_use(job, job.sheets).box)} filled"
    missing = left_to_lay(job)
    if missing:
        return Station("sheets", "Sheets", Mark.CAUTION, f"{missing:,} to lay · {figure}")
    return Station("sheets", "Sheets", Mark.CHECK, figure)


def _findings(job: Job, findings: Sequence[Finding], is_checking: bool) -> Station:
    if not job.pieces or (is_checking and not findings):
        return Station("findings", "Findings", Mark.PENDING, "checking" if job.pieces else "nothing to check")
    severity = worst(findings)
    mark = Mark.CHECK if severity is None else MARK_OF[severity]
    return Station("findings", "Findings", mark, severity_words(findings))


def _plan(job: Job, prices: PriceList | None) -> Station:
    plan = plan_figures(job)
    if not plan.sheet_count:
        return Station("plan", "Plan", Mark.PENDING, "no sheets to run")
    sheets = counted(plan.sheet_count, "sheet")
    if plan.short:
        return Station("plan", "Plan", Mark.CAUTION, f"{sheets} · {plan.short:,} short")
    if plan.below_run:
        return Station("plan", "Plan", Mark.CAUTION, f"{sheets} · run below {job.limits.smallest_run}")
    if not plan.ordered:
        return Station("plan", "Plan", Mark.PENDING, f"{sheets} · no order yet")
    figure = rail_words(job, prices, plan.ordered) or counted(plan.spare, "spare")
    return Station("plan", "Plan", Mark.CHECK, f"{sheets} · {figure}")


def _hand_off(job: Job, proofed: Job | None, previewed: Job | None) -> Station:
    signed = _signed(job)
    if signed is not None:
        return signed
    if proofed is None and previewed == job:
        return Station("hand-off", "Hand-off", Mark.PENDING, "proof not saved")
    if proofed is None:
        return Station("hand-off", "Hand-off", Mark.PENDING, "proof not made")
    if proofed == job:
        return Station("hand-off", "Hand-off", Mark.CHECK, "proof made")
    return Station("hand-off", "Hand-off", Mark.CAUTION, "changed since the proof")


def _signed(job: Job) -> Station | None:
    """How far the sign-offs are; None while nobody has signed. The whole job signed stands for each order."""
    states = {one.order_id: approval_state(job, one.order_id) for one in job.approvals}
    if not states:
        return None
    if "void" in states.values():
        return Station("hand-off", "Hand-off", Mark.CAUTION, "approval void")
    orders = {order.order_id for order in job.orders}
    if None in states or orders <= set(states):
        return Station("hand-off", "Hand-off", Mark.CHECK, "proof signed")
    return Station("hand-off", "Hand-off", Mark.PENDING, f"{len(states)} of {len(orders)} signed")
