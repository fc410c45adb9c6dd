"""Large pictures are painted beside the program: the same bytes, stopped at once, never lost."""

import subprocess

import pytest

from layout_core.art.sandbox import WorkerMissing, python_process
from layout_core.errors import Cancelled
from layout_core.outputs import beside
from layout_core.outputs.painter import LARGE_PX, painted
from layout_core.outputs.typeface import FAMILY, font_paths
from layout_core.progress import StopFlag

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="60" height="40"><rect width="20" height="9"/>'
    f'<text x="2" y="30" font-family="{FAMILY}" font-size="12">Moth</text></svg>'
)


def test_a_process_paints_the_same_bytes() -> None:
    here = painted(SVG, 2400, font_paths(), FAMILY)
    assert here.startswith(b"\x89PNG")
    assert painted(SVG, LARGE_PX, font_paths(), FAMILY) == here


def test_stop_ends_the_painting_and_its_process(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[bytes]] = []
    start = python_process

    def noted(boot: str) -> subprocess.Popen[bytes]:
        started.append(start("import time; time.sleep(60)"))
        return started[-1]

    monkeypatch.setattr(beside, "python_process", noted)
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        painted(SVG, LARGE_PX, font_paths(), FAMILY, flag.tick)
    assert started[0].returncode is not None


@pytest.mark.parametrize("boot", ["raise SystemExit(3)", None])
def test_without_a_second_process_it_is_painted_here(
    monkeypatch: pytest.MonkeyPatch, boot: str | None
) -> None:
    start = python_process

    def broken(_: str) -> subprocess.Popen[bytes]:
        if boot is None:
            raise WorkerMissing("none")
        return start(boot)

    monkeypatch.setattr(beside, "python_process", broken)
    assert painted(SVG, LARGE_PX, font_paths(), FAMILY).startswith(b"\x89PNG")
