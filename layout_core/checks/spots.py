"""Findings from the thin places of an outline: the worst ones one by one, the rest counted."""

from collections.abc import Sequence
from dataclasses import dataclass

from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.thickness import Spot
from layout_core.units import write_length

WORST_SHOWN = 12
"""Places of one rule that are told one by one; more would bury the rest. Invented."""

_RANK = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Fault:
    """A thin place with its severity and words."""

    spot: Spot
    severity: Severity
    message: str


def shown(length_mm: float) -> str:
    """The length in inches; what rounds to nothing is told as less than the last place."""
    text = write_length(length_mm)
    return "less than 0.001 in" if text == "0 in" and length_mm > 0 else text


def findings_of(rule: str, faults: Sequence[Fault], limit_mm: float, rest: str) -> tuple[Finding, ...]:
    """One finding for each of the worst places, and one that counts the rest as "{n} more {rest}"."""
    ordered = sorted(faults, key=lambda f: (_RANK[f.severity], f.spot.width_mm, f.spot.where_mm))
    told = tuple(
        Finding(
            rule,
            fault.severity,
            fault.message,
            measured=fault.spot.width_mm,
            limit=limit_mm,
            where_mm=fault.spot.where_mm,
            highlight=fault.spot.shape,
        )
        for fault in ordered[:WORST_SHOWN]
    )
    left = ordered[WORST_SHOWN:]
    if not left:
        return told
    return (*told, Finding(rule, left[0].severity, f"{len(left)} more {rest}", limit=limit_mm))
