"""Whether what was signed is still what would be printed."""

from layout_core.checks.findings import Finding, Severity
from layout_core.job.approvals import approval_state
from layout_core.job.model import Job


def approval_findings(job: Job) -> tuple[Finding, ...]:
    """A caution for each signed proof that something printable has changed since."""
    found = []
    for approval in job.approvals:
        if approval_state(job, approval.order_id) != "void":
            continue
        whose = "the job" if approval.order_id is None else job.order(approval.order_id).name
        rule = "approval_void" if approval.order_id is None else f"approval_void_{approval.order_id}"
        message = (
            f"The approval of {whose} by {approval.who}, {approval.signed_on}, is void: something printable "
            "has changed since; have a new proof signed"
        )
        found.append(Finding(rule, Severity.CAUTION, message))
    return tuple(found)
