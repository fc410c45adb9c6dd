"""Fabrics that take no heat stop the job; those that may go wrong warn. Common practice, no source."""

from dataclasses import replace

import pytest

from layout_core.checks.fabric import fabric_findings
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.run import check_job
from layout_core.job.model import Job, Order, OrderLine
from layout_core.job.recipes import load_recipes
from tests.make import make_artwork, make_job


def job_with(*fabrics: str) -> Job:
    lines = tuple(
        OrderLine(i, 101, "tee", "black", (("M", 1),), fabric) for i, fabric in enumerate(fabrics, 1)
    )
    return replace(make_job([make_artwork()]), orders=(Order(9, "Night", "Them", lines),))


def found_for(*fabrics: str) -> tuple[Finding, ...]:
    return fabric_findings(job_with(*fabrics), load_recipes())


@pytest.mark.parametrize("fabric", ["nylon", "Acrylic", "waxed canvas", "water-repellent"])
def test_fabric_that_takes_no_heat_is_a_stop(fabric: str) -> None:
    (found,) = found_for(fabric)
    assert (found.severity, found.piece_id) == (Severity.STOP, 101)
    assert fabric in found.message


def test_polyester_warns_of_dye_migration() -> None:
    (found,) = found_for("polyester")
    assert found.severity is Severity.CAUTION
    assert "dye may migrate" in found.message


@pytest.mark.parametrize("fabric", ["cotton", "fleece", "50/50", ""])
def test_cotton_its_kin_and_a_line_without_fabric_are_not_spoken_of(fabric: str) -> None:
    assert found_for(fabric) == ()


def test_fabric_that_the_table_lacks_is_a_caution() -> None:
    (found,) = found_for("chain mail")
    assert found.severity is Severity.CAUTION
    assert "chain mail is not in the table" in found.message


def test_each_fabric_is_accepted_on_its_own() -> None:
    keys = {found.key for found in found_for("nylon", "acrylic", "nylon")}
    assert len(keys) == 2


def test_key_of_a_fabric_stays_in_one_part_whatever_its_signs() -> None:
    (found,) = found_for("a:b " * 30)
    assert found.key.split(":")[1] == "piece101"
    assert len(found.key) < 120


def test_check_of_a_job_tells_of_its_fabrics() -> None:
    assert "fabric_nylon" in {found.rule for found in check_job(job_with("nylon"))}
