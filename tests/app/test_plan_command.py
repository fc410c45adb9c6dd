"""The command `plan`: its JSON, its files, and its one line for what cannot be planned."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
import shapely

from layout_core.job import edits
from layout_core.job.file import read_job, write_job
from tests.app.command_folder import run_command
from tests.core.plan.orders import two_orders
from tests.core.plan.test_wishes import DISC, RING, job_of


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "night.duskjob"
    write_job(path, two_orders())
    return path


def test_json_holds_exact_amounts_that_add_up(job: Path) -> None:
    run = run_command("plan", job, "--json")
    assert run.exit_code == 0, run.output
    document = json.loads(run.stdout)
    sheets = sum(Decimal(sheet["cost"]) for sheet in document["sheets"])
    assert sheets + Decimal(document["setup"]) + Decimal(document["shipping"]) == Decimal(document["cost"])
    assert sum(Decimal(order["sheets"]) for order in document["orders"]) == Decimal(document["cost"])
    assert Decimal(document["floor"]) <= Decimal(document["cost"])
    for piece in document["pieces"]:
        made = sum(sheet["run"] * sheet["pieces"].get(piece["piece"], 0) for sheet in document["sheets"])
        assert made == piece["made"] == piece["ordered"] + piece["spares"]


def test_people_read_cost_floor_spares_and_whose_prices(job: Path) -> None:
    out = run_command("plan", job).stdout
    for words in ("Nobody can go below $", "spare", "Moth night: 20 garments for $", "invented example"):
        assert words in out


def test_the_job_and_the_quotes_are_written(job: Path, tmp_path: Path) -> None:
    out, quotes = tmp_path / "laid.duskjob", tmp_path / "quotes"
    run = run_command("plan", job, "--out", out, "--quotes", quotes)
    assert run.exit_code == 0, run.output
    assert all(sheet.placed and sheet.run >= 6 for sheet in read_job(out).sheets)
    assert sorted(path.name for path in quotes.iterdir()) == [
        "quote-moth-night.csv", "quote-moth-night.pdf", "quote-tide-walk.csv", "quote-tide-walk.pdf",
    ]  # fmt: skip


def test_straight_cuts_are_followed_where_they_are_asked_for(tmp_path: Path) -> None:
    """By hand: four of 6.25 x 4.25 in lie round a square of 11.25 in, straight cuts part but three."""
    path, out = tmp_path / "cards.duskjob", tmp_path / "laid.duskjob"
    write_job(path, job_of(("card", shapely.box(0, 0, 62.5, 42.5), 6.25, 47)))
    for options, copies in (((), 4), (("--straight-cuts",), 3)):
        run = run_command("plan", path, "--designs", "1", *options, "--out", out)
        assert run.exit_code == 0, run.output
        assert [len(sheet.placed) for sheet in read_job(out).sheets] == [copies]


def test_holes_are_left_empty_where_that_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "rings.duskjob"
    write_job(path, job_of(("ring", RING, 10.4, 12), ("disc", DISC, 5.0, 12)))
    for options, sheets in (((), 1), (("--no-holes",), 2)):
        run = run_command("plan", path, "--designs", "2", "--json", *options)
        assert run.exit_code == 0, run.output
        assert len(json.loads(run.stdout)["sheets"]) == sheets


def test_what_cannot_be_planned_is_one_line_and_exit_code_2(tmp_path: Path) -> None:
    path = tmp_path / "empty.duskjob"
    write_job(path, edits.new_job("Empty"))
    run = run_command("plan", path)
    assert run.exit_code == 2
    assert run.stdout == ""
    assert len(run.stderr.splitlines()) == 1
    assert "order line" in run.stderr


def test_a_price_list_with_a_mistake_is_named(job: Path, tmp_path: Path) -> None:
    prices = tmp_path / "ours.toml"
    prices.write_text("currency = 5\n", encoding="utf-8")
    run = run_command("plan", job, "--prices", prices)
    assert run.exit_code == 2
    assert "ours.toml, line 1" in run.stderr


def test_six_more_and_the_room_left_are_told(job: Path) -> None:
    run = run_command("plan", job, "--more", "6")
    assert run.exit_code == 0, run.output
    assert "6 more for Moth night: the sheets cost " in run.stdout
    assert "6 more for Tide walk: " in run.stdout
    assert "one more inch" in run.stdout
    document = json.loads(run_command("plan", job, "--more", "6", "--json").stdout)
    assert [one["garments"] for one in document["more"]] == [6, 6]
    assert all(Decimal(one["total_more"]) > 0 for one in document["more"])
