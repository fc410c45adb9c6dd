"""Whether the garments of an order take the heat of the press."""

import re
from collections.abc import Sequence

from layout_core.checks.findings import Finding, Severity
from layout_core.job.model import Job, OrderLine
from layout_core.job.recipes import Recipe, recipe_for


def fabric_findings(job: Job, recipes: Sequence[Recipe]) -> tuple[Finding, ...]:
    """For each piece and fabric: a stop when it cannot be pressed, a caution when it may go wrong.

    Common practice, no source (the shop's table of press recipes). A line that names no fabric is not judged.
    """
    found: dict[tuple[int, str], Finding] = {}
    for order in job.orders:
        for line in order.lines:
            finding = _finding(line, recipes) if line.fabric else None
            if finding is not None:
                found.setdefault((line.piece_id, line.fabric.casefold()), finding)
    return tuple(found.values())


def _finding(line: OrderLine, recipes: Sequence[Recipe]) -> Finding | None:
    fabric = line.fabric
    recipe = recipe_for(fabric, recipes)
    if recipe is None:
        text = f"{fabric} is not in the table of press recipes; ask the transfer maker before pressing"
        return _of(line, Severity.CAUTION, text)
    if recipe.setting is None:
        return _of(line, Severity.STOP, f"{fabric} does not take the heat of the press. {recipe.remark}")
    if recipe.setting.caution:
        return _of(line, Severity.CAUTION, f"{fabric}: {recipe.setting.caution}")
    return None


def _of(line: OrderLine, severity: Severity, message: str) -> Finding:
    # a name of its own for each fabric, so that accepting one does not accept another
    rule = f"fabric_{re.sub(r'[^a-z0-9]+', '_', line.fabric.casefold()).strip('_')[:40]}"
    return Finding(rule, severity, message, piece_id=line.piece_id)
