"""Which packages land on which Python, and the guard against a Qt binding that wears out None."""

import re
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
PYTHONS = ("3.11", "3.12", "3.13")
QT = "PySide6-Essentials"


def requirements(python: str) -> dict[str, Requirement]:
    """What a plain install brings on that Python, by canonical name; fails when one is asked for twice."""
    environment = {"python_version": python, "python_full_version": f"{python}.0"}
    wanted: dict[str, Requirement] = {}
    for line in PROJECT["dependencies"]:
        requirement = Requirement(line)
        if requirement.marker is None or requirement.marker.evaluate(environment):
            name = canonicalize_name(requirement.name)
            assert name not in wanted, f"{name} is asked for twice on Python {python}"
            wanted[name] = requirement
    return wanted


def pins(python: str) -> dict[str, Version]:
    """The constraints file's version of each package on that Python."""
    environment = {"python_version": python, "python_full_version": f"{python}.0"}
    pinned: dict[str, Version] = {}
    for raw in (ROOT / "resources" / "constraints.txt").read_text(encoding="utf-8").splitlines():
        line = re.sub(r"\s*#.*", "", raw).strip()
        if not line:
            continue
        requirement = Requirement(line)
        if requirement.marker is None or requirement.marker.evaluate(environment):
            (specifier,) = requirement.specifier
            assert specifier.operator == "==", line
            pinned[canonicalize_name(requirement.name)] = Version(specifier.version)
    return pinned


@pytest.mark.parametrize("python", PYTHONS)
def test_every_requirement_is_pinned_to_a_version_it_allows(python: str) -> None:
    pinned = pins(python)
    for name, requirement in requirements(python).items():
        assert name in pinned, f"{name} has no pin on Python {python}"
        assert requirement.specifier.contains(pinned[name]), f"{name} {pinned[name]} on Python {python}"


def test_python_311_never_gets_the_binding_that_breaks_it() -> None:
    """6.12.0 loses a reference to None on every call there and ends the process after about 5,000 calls."""
    allowed = requirements("3.11")[canonicalize_name(QT)].specifier
    assert allowed.contains("6.11.3")
    assert not any(allowed.contains(version) for version in ("6.12.0", "6.12.1", "6.13.0", "7.0.0"))
    assert pins("3.11")[canonicalize_name(QT)] < Version("6.12")


@pytest.mark.parametrize("python", PYTHONS)
def test_both_halves_of_the_binding_are_of_one_version(python: str) -> None:
    pinned = pins(python)
    assert pinned[canonicalize_name(QT)] == pinned["shiboken6"]


def test_oldest_python_is_the_one_the_project_names() -> None:
    assert PROJECT["requires-python"] == ">=3.11"
    assert sys.version_info >= (3, 11)


def test_qt_calls_do_not_wear_out_none() -> None:
    """200 calls that return nothing; a broken binding takes 200 references, a sound one about none."""
    from PySide6.QtWidgets import QGraphicsRectItem

    item = QGraphicsRectItem(0.0, 0.0, 1.0, 1.0)
    before = sys.getrefcount(None)
    for step in range(200):
        item.setPos(step, step)
    assert before - sys.getrefcount(None) <= 50
