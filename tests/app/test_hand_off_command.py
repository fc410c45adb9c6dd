"""The command `handoff`, and a proof as PDF."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from app.cli import cli
from layout_core.job.file import write_job
from layout_core.job.model import Job
from tests.core.outputs.shop_job import shop_job, with_fabric


def saved(folder: Path, job: Job) -> Path:
    """The job in a file; its ids are those of a shop, so `next_id` is above them."""
    path = folder / "night.duskjob"
    write_job(path, replace(job, next_id=1000))
    return path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(cli, [str(argument) for argument in arguments])


def test_handoff_writes_the_folder_and_prints_every_path(tmp_path: Path) -> None:
    job, out = saved(tmp_path, shop_job()), tmp_path / "out"
    done = run("handoff", job, "--out", out, "--dpi", "72")
    assert done.exit_code == 0, done.output
    assert {Path(line).name for line in done.output.splitlines()} == {path.name for path in out.iterdir()}
    assert (out / "ticket.pdf").read_bytes().startswith(b"%PDF")


def test_handoff_prints_the_manifest_and_takes_its_options(tmp_path: Path) -> None:
    job, out = saved(tmp_path, shop_job()), tmp_path / "out"
    done = run("handoff", job, "--out", out, "--dpi", "72", "--spot", "Film 1", "--underbase", "0.01in",
               "--mirror", "--no-cut-lines", "--no-marks", "--json")  # fmt: skip
    manifest = json.loads(done.output)
    assert manifest["spots"] == {
        "ink": "Film 1", "underbase": "UNDERBASE", "cut_lines": None, "is_mirrored": True,
        "choke_mm": pytest.approx(0.254), "plate_dpi": 72.0,
    }  # fmt: skip
    assert (out / "plate-a-film-1.tif").exists()


@pytest.mark.parametrize(
    ("job", "options", "said"),
    [
        (with_fabric(shop_job(), "nylon"), (), "open stop"),
        (shop_job(), ("--spot", "G/1"), "spot name"),
        (shop_job(), ("--dpi", "1"), "72 to 4800"),
    ],
)
def test_refusal_is_one_line_exit_2_and_no_folder(
    tmp_path: Path, job: Job, options: tuple[str, ...], said: str
) -> None:
    path, out = saved(tmp_path, job), tmp_path / "out"
    done = run("handoff", path, "--out", out, *options)
    assert done.exit_code == 2
    assert said in done.output
    assert len(done.output.strip().splitlines()) == 1
    assert not out.exists()


def test_proof_by_its_suffix_is_a_picture_or_a_document(tmp_path: Path) -> None:
    job = saved(tmp_path, shop_job())
    for name, start in (("p.png", b"\x89PNG"), ("p.PDF", b"%PDF")):
        done = run("proof", job, "-o", tmp_path / name, "--order", "lantern walk")
        assert done.exit_code == 0, done.output
        assert (tmp_path / name).read_bytes().startswith(start)
    refused = run("proof", job, "-o", tmp_path / "p.gif")
    assert refused.exit_code == 2
    assert ".png or .pdf" in refused.output


def test_quotes_join_the_folder_when_asked_for(tmp_path: Path) -> None:
    job, out = saved(tmp_path, shop_job()), tmp_path / "out"
    done = run("handoff", job, "--out", out, "--dpi", "72", "--quotes")
    assert done.exit_code == 0, done.output
    assert (out / "quote-lantern-walk.pdf").read_bytes().startswith(b"%PDF")
