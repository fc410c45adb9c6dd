"""The white underbase that visibility reckons with is the one that the print files hold."""

from dataclasses import replace

import pytest
import shapely

from layout_core.checks.run import check_job
from layout_core.glow.scene import usual_lighting
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.job.printing import PrintOptions
from tests.make import make_artwork, make_job


def rules(*, reckoned: bool, printed: bool) -> set[str]:
    job: Job = edits.set_printing(
        make_job([make_artwork(shapely.box(0, 0, 40, 40))]), PrintOptions(has_underbase=printed)
    )
    lit = edits.set_lighting(job, replace(usual_lighting(), has_underbase=reckoned))
    return {finding.rule for finding in check_job(lit) if finding.rule.startswith("underbase")}


@pytest.mark.parametrize("on", [True, False])
def test_a_difference_is_told_and_stands_for_the_advice_to_print_one(on: bool) -> None:
    assert rules(reckoned=on, printed=not on) == {"underbase_differs"}


def test_agreement_leaves_only_the_advice_on_dark_cloth() -> None:
    assert rules(reckoned=True, printed=True) == set()
    assert rules(reckoned=False, printed=False) == {"underbase"}
