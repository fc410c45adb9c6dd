"""The core works where the POSIX-only modules do not exist, as on Windows."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

HIDDEN = ("fcntl", "resource", "pwd", "grp", "spwd", "crypt", "termios", "tty", "pty", "syslog", "readline")
"""Modules of the standard library that are documented as 'Availability: Unix' or are missing on Windows."""

HIDE = f"""
import sys
HIDDEN = {HIDDEN!r}
class Hider:
    def find_spec(self, name, path=None, target=None):
        if name in HIDDEN:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)
for name in HIDDEN:
    sys.modules.pop(name, None)
sys.meta_path.insert(0, Hider())
"""

SCRIPT = """
import importlib, os, pkgutil, sys
from pathlib import Path

for name in ("fcntl", "resource", "pwd", "grp", "termios"):
    try:
        importlib.import_module(name)
    except ModuleNotFoundError:
        continue
    raise AssertionError(f"{name} is not hidden")

import layout_core
for module in pkgutil.walk_packages(layout_core.__path__, "layout_core."):
    if "_shipped" not in module.name:
        importlib.import_module(module.name)

from layout_core.art.intake import read_art
from layout_core.checks.run import check_job
from layout_core.errors import ArtError
from layout_core.job import edits
from layout_core.job.file import read_job, write_job
from layout_core.job.snapshots import SnapshotKeeper, recoverable
from layout_core.outputs.proof import proof_png
from layout_core.packing.autopack import autopack
from layout_core.shipped import shipped

job = edits.new_job("Moth night")
for name in ("crab.svg", "hermit-crab.png"):
    job = edits.add_art(job, read_art(shipped("sample_art", name)))
    job = edits.add_piece(job, job.arts[-1].art_id, placement="left chest", copies=2)
Path("broken.svg").write_bytes(b"<svg")
try:
    read_art(Path("broken.svg"))
    raise AssertionError("broken art was accepted")
except ArtError as error:
    assert str(error).startswith("broken.svg: ")
result = autopack(job)
assert not result.unplaced
write_job(Path("night.duskjob"), result.job)
assert read_job(Path("night.duskjob")) == result.job
keeper = SnapshotKeeper()
assert keeper.write(result.job, None).is_file()
assert recoverable() == ()
keeper.close()
findings = check_job(result.job)
assert not [finding for finding in findings if finding.severity == "stop"], findings
assert proof_png(result.job, findings).startswith(bytes([137]) + b"PNG")
print("whole")
"""


def test_the_core_runs_with_the_posix_modules_hidden(tmp_path: Path) -> None:
    """They are hidden in the worker process too: each interpreter loads this sitecustomize first."""
    (tmp_path / "sitecustomize.py").write_text(HIDE, encoding="utf-8")
    run = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join((str(tmp_path), str(ROOT)))},
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert run.stdout == "whole\n"
