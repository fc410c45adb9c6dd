"""The shipped drawings: each described, bold enough to print at its stated size, and two wrong on purpose."""

import tomllib
from pathlib import Path

import pytest

from layout_core.art.intake import read_art
from layout_core.checks.findings import Severity
from layout_core.checks.run import check_artwork
from layout_core.job.limits import load_limits
from layout_core.shipped import shipped
from layout_core.units import inches

FOLDER = shipped("sample_art")
WRONG = {"fern-etching.svg": {"line_weight"}, "net-pattern.svg": {"pinhole"}}
ART = sorted(path.name for path in FOLDER.iterdir() if path.suffix in (".svg", ".png", ".jpg"))


def stated_sizes() -> dict[str, tuple[float, float]]:
    """Width and height in inches from the table in the folder's README."""
    sizes = {}
    for line in (FOLDER / "README.md").read_text(encoding="utf-8").splitlines():
        if line.startswith("| `"):
            name, _, size = (cell.strip() for cell in line.strip("|").split("|"))
            width, height = size.split(" in")[0].split(" x ")
            sizes[name.strip("`")] = float(width), float(height)
    return sizes


def test_the_readme_lists_every_drawing_and_no_other() -> None:
    assert sorted(stated_sizes()) == ART
    assert len(ART) >= 14


@pytest.mark.parametrize("name", ART)
def test_each_drawing_has_its_stated_size_and_prints_unless_wrong_on_purpose(name: str) -> None:
    artwork = read_art(Path(FOLDER / name))
    assert artwork.size_known
    ink = inches(artwork.width_mm), inches(artwork.height_mm)
    margin = 0.25 if artwork.route == "raster" else 0.06
    assert ink == pytest.approx(stated_sizes()[name], abs=margin)
    found = check_artwork(artwork, artwork.width_mm, load_limits()).findings
    faults = {finding.rule for finding in found if finding.severity is not Severity.NOTE}
    assert faults >= WRONG[name] if name in WRONG else not faults


def test_the_demo_job_uses_at_most_one_wrong_drawing() -> None:
    job = tomllib.loads((FOLDER / "demo.toml").read_text(encoding="utf-8"))
    used = [piece["art"] for piece in job["piece"]]
    assert set(used) <= set(ART)
    assert sum(name in WRONG for name in used) <= 1
    assert {order["name"] for order in job["order"]} == {"Moth survey night", "Tide-pool lantern walk"}
