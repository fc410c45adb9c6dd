"""The program works from a built wheel, and every package it brings is pinned."""

import importlib.metadata
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    return next(out.glob("duskwright-*.whl"))


def test_wheel_carries_resources_and_sample_art(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for shipped in ("resources/placements.toml", "resources/print_limits.toml", "sample_art/demo.toml"):
        assert f"layout_core/_shipped/{shipped}" in names
    assert not [name for name in names if name.startswith("tests/")]


def test_unpacked_wheel_runs_a_command_with_its_own_files(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path / "site")
    script = (
        "import app.cli, layout_core.shipped as s, sys;"
        "assert '_shipped' in str(s.shipped('resources', 'placements.toml'));"
        "sys.argv[1:] = ['check', str(s.shipped('sample_art', sys.argv[1])), '--width', '4in', '--json'];"
        "app.cli.main()"
    )
    art = next(p.name for p in sorted((ROOT / "sample_art").glob("*.svg")))
    run = subprocess.run(
        [sys.executable, "-c", script, art],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode in (0, 1), run.stderr
    assert '"ink_area_mm2"' in run.stdout


def pinned() -> dict[str, list[Requirement]]:
    pins: dict[str, list[Requirement]] = {}
    for line in (ROOT / "resources/constraints.txt").read_text("utf-8").splitlines():
        if line and not line.startswith("#"):
            requirement = Requirement(line)
            pins.setdefault(plain(requirement.name), []).append(requirement)
    return pins


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def test_every_package_an_install_brings_is_pinned_exactly() -> None:
    pins = pinned()
    assert all(re.fullmatch(r"==[^*]+", str(r.specifier)) for rows in pins.values() for r in rows)
    wanted, seen = ["duskwright"], set()
    while wanted:
        for text in importlib.metadata.requires(wanted.pop()) or ():
            requirement = Requirement(text)
            name = plain(requirement.name)
            extras = {"extra": "test"} if "duskwright" not in seen else {"extra": ""}
            if (requirement.marker is None or requirement.marker.evaluate(extras)) and name not in seen:
                assert name in pins, f"{name} is not pinned in resources/constraints.txt"
                seen.add(name)
                wanted.append(name)
        seen.add("duskwright")
