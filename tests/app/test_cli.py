"""The commands: what they print, their exit codes, and one line for every error."""

import io
import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from app import check_command, console
from app.console import error_line
from layout_core.art.intake import read_art
from layout_core.errors import Cancelled, DuskwrightError, LayoutError
from layout_core.job.file import job_bytes, read_job
from layout_core.job.migrations import FORMAT
from layout_core.units import mm
from tests.app.command_folder import THIN, Run, one_line_error, small_job

# --- check ---------------------------------------------------------------------------------------------


def test_check_prints_one_object_with_units_in_its_keys(run: Run) -> None:
    result = run("check", "block.svg", "--width", "4in", "--json")
    assert result.exit_code == 0
    assert result.stderr == ""
    document = json.loads(result.stdout)
    assert list(document) == [
        "art", "size_mm", "ink_area_mm2", "elements", "line_weight_mm", "gap_mm", "route", "findings"
    ]  # fmt: skip
    assert document["art"] == "block.svg"
    assert document["size_mm"] == pytest.approx([101.6, 76.2])
    assert document["ink_area_mm2"] == pytest.approx(101.6 * 76.2)
    assert (document["elements"], document["route"]) == (1, "vector")
    assert (document["line_weight_mm"], document["gap_mm"]) == (None, None)
    assert document["findings"] == []


def test_a_stop_ends_check_with_1_and_says_where(run: Run) -> None:
    result = run("check", "thin.svg", "--width", "40mm", "--json")
    assert result.exit_code == 1
    document = json.loads(result.stdout)
    stop = next(finding for finding in document["findings"] if finding["severity"] == "stop")
    assert list(stop) == ["rule", "severity", "measured", "limit", "unit", "where_mm", "message"]
    assert stop["rule"] == "line_weight"
    assert stop["measured"] == pytest.approx(0.3, abs=0.01)
    assert stop["measured"] < stop["limit"] <= mm(0.020)
    assert stop["unit"] == "mm"
    x_mm, y_mm = stop["where_mm"]
    assert 35.0 <= x_mm <= 35.3
    assert 0.0 <= y_mm <= 30.0
    assert document["line_weight_mm"] == pytest.approx(0.3, abs=0.01)


def test_the_same_art_is_right_when_it_is_large_enough(run: Run) -> None:
    assert run("check", "thin.svg", "--width", "40mm").exit_code == 1
    assert run("check", "thin.svg", "--width", "120mm").exit_code == 0


def test_check_says_the_same_in_words(run: Run) -> None:
    result = run("check", "thin.svg", "--width", "40mm")
    assert result.exit_code == 1
    first, *rest = result.stdout.splitlines()
    assert first.startswith("thin.svg: 1.575 x 1.181 in, ")
    assert first.endswith("in 3 parts, vector")
    assert any(line.startswith("  stop     ") and " (at 1.3" in line for line in rest)
    assert "nothing to find fault with" in run("check", "thin.svg", "--width", "120mm").stdout


def test_several_arts_give_a_list_in_their_order(run: Run) -> None:
    result = run("check", "thin.svg", "block.svg", "--width", "40mm", "--json")
    assert result.exit_code == 1
    assert [document["art"] for document in json.loads(result.stdout)] == ["thin.svg", "block.svg"]


def test_one_broken_art_does_not_hide_the_others(run: Run) -> None:
    result = run("check", "thin.svg", "broken.svg", "absent.svg", "--width", "40mm", "--json")
    assert result.exit_code == 2
    assert [document["art"] for document in json.loads(result.stdout)] == ["thin.svg"]
    broken, absent = result.stderr.splitlines()
    assert broken.startswith("broken.svg: ")
    assert absent.startswith("absent.svg: cannot be opened (no such file")


@pytest.mark.parametrize("width", ["3.9370078740157483", "10 cm", '3 15/16"', "100mm"])
def test_a_width_is_read_as_people_write_it(run: Run, width: str) -> None:
    document = json.loads(run("check", "block.svg", "--width", width, "--json").stdout)
    assert document["size_mm"][0] == pytest.approx(100.0, abs=0.02)


@pytest.mark.parametrize("width", ["far", "-1in", "0", "1e9", ""])
def test_a_width_that_is_none_is_refused(run: Run, width: str) -> None:
    one_line_error(run("check", "block.svg", f"--width={width}"), "--width")


def test_limits_are_taken_by_name_or_from_a_file(run: Run, tmp_path: Path) -> None:
    from layout_core.shipped import shipped

    strict = shipped("resources", "print_limits.toml").read_text("utf-8")
    for old, new in (("[glow]", "[strict]"), ("0.020 in", "1.2 mm"), ("0.018 in", "1.0 mm")):
        strict = strict.replace(old, new)
    (tmp_path / "strict.toml").write_text(strict, encoding="utf-8")
    assert run("check", "thin.svg", "--width", "120mm", "--limits", "glow").exit_code == 0
    assert run("check", "thin.svg", "--width", "120mm", "--limits", "strict.toml").exit_code == 1
    one_line_error(run("check", "block.svg", "--width", "4", "--limits", "none"), "print_limits.toml", "glow")
    one_line_error(run("check", "block.svg", "--width", "4", "--limits", "gone.toml"), "gone.toml")
    (tmp_path / "bad.toml").write_text(strict.replace("dot =", "dott ="), encoding="utf-8")
    one_line_error(
        run("check", "block.svg", "--width", "4", "--limits", "bad.toml"), "bad.toml, line ", "dott"
    )


def test_the_outline_is_written_at_true_size(run: Run, tmp_path: Path) -> None:
    result = run("check", "thin.svg", "--width", "4in", "--outline", "out.svg")
    assert result.exit_code == 0
    read = read_art(tmp_path / "out.svg")
    assert read.size_known
    assert (read.width_mm, read.height_mm) == pytest.approx((101.6, 76.2), abs=1e-3)
    scale = 101.6 / 40
    assert read.outline.area == pytest.approx(THIN.area * scale**2, rel=1e-4)
    one_line_error(run("check", "thin.svg", "block.svg", "--width", "4", "--outline", "x.svg"), "--outline")
    gone = run("check", "block.svg", "--width", "4in", "--outline", "gone/out.svg")
    one_line_error(gone, "out.svg", "no such file")


# --- pack ----------------------------------------------------------------------------------------------


def test_pack_prints_what_lies_where(run: Run) -> None:
    result = run("pack", "night.duskjob", "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert list(document) == ["sheets", "unplaced", "seconds"]
    (sheet,) = document["sheets"]
    assert list(sheet) == [
        "name", "width_mm", "length_mm", "pieces", "ink_fraction", "box_fraction", "smallest_gap_mm"
    ]  # fmt: skip
    assert (sheet["name"], sheet["width_mm"], sheet["length_mm"]) == ("Sheet A", 100.0, 100.0)
    assert [piece["piece"] for piece in sheet["pieces"]] == ["moth"] * 3
    for piece in sheet["pieces"]:
        assert list(piece) == ["piece", "x_mm", "y_mm", "turn_deg", "width_mm", "height_mm"]
        size = (piece["width_mm"], piece["height_mm"])
        assert size == pytest.approx((40.0, 30.0) if piece["turn_deg"] in (0.0, 180.0) else (30.0, 40.0))
        assert piece["x_mm"] >= 0
        assert piece["x_mm"] + size[0] <= 100.0
        assert piece["y_mm"] >= 0
        assert piece["y_mm"] + size[1] <= 100.0
    boxes = [
        shapely.box(p["x_mm"], p["y_mm"], p["x_mm"] + p["width_mm"], p["y_mm"] + p["height_mm"])
        for p in sheet["pieces"]
    ]
    gaps = [a.distance(b) for i, a in enumerate(boxes) for b in boxes[:i]]
    assert min(gaps) >= 5.0 - 1e-6
    assert sheet["smallest_gap_mm"] == pytest.approx(min(gaps), abs=1e-3)
    assert sheet["ink_fraction"] == pytest.approx(3 * 1200 / 10000, abs=1e-3)
    assert sheet["box_fraction"] == pytest.approx(0.36, abs=1e-3)
    assert document["unplaced"] == [{"piece": "giant", "count": 2}]
    assert document["seconds"] >= 0


def test_pack_writes_only_where_it_is_told(run: Run, tmp_path: Path) -> None:
    before = (tmp_path / "night.duskjob").read_bytes()
    assert run("pack", "night.duskjob").exit_code == 0
    assert (tmp_path / "night.duskjob").read_bytes() == before
    result = run("pack", "night.duskjob", "--out", "packed.duskjob")
    assert result.exit_code == 0
    assert read_job(tmp_path / "packed.duskjob").copies_placed(5) == 3
    assert (tmp_path / "night.duskjob").read_bytes() == before
    assert "3 pieces added" in result.stdout
    assert "no room for 2 x giant" in result.stdout
    assert run("pack", "night.duskjob", "--out", "night.duskjob").exit_code == 0
    assert (tmp_path / "night.duskjob").read_bytes() == (tmp_path / "packed.duskjob").read_bytes()


def test_pack_into_a_folder_that_is_not_there_is_refused(run: Run) -> None:
    one_line_error(run("pack", "night.duskjob", "--out", "gone/x.duskjob"), "x.duskjob", "gone")


# --- proof ---------------------------------------------------------------------------------------------


def test_a_proof_for_one_order_is_another_picture(run: Run, tmp_path: Path) -> None:
    assert run("proof", "night.duskjob", "-o", "whole.png").stdout == "whole.png\n"
    for order in (" MOTH Survey Night ", "tide-pool lantern walk"):
        assert run("proof", "night.duskjob", "-o", f"{order[1]}.png", "--order", order).exit_code == 0
    pictures = [(tmp_path / name).read_bytes() for name in ("whole.png", "M.png", "i.png")]
    assert all(picture.startswith(b"\x89PNG") for picture in pictures)
    assert len(set(pictures)) == 3


def test_an_order_that_is_not_there_is_refused_with_those_that_are(run: Run, tmp_path: Path) -> None:
    result = run("proof", "night.duskjob", "-o", "a.png", "--order", "beach day")
    one_line_error(result, "night.duskjob", "beach day", "moth survey night, tide-pool lantern walk")
    assert not (tmp_path / "a.png").exists()


def test_a_proof_of_another_kind_is_refused(run: Run) -> None:
    one_line_error(run("proof", "night.duskjob", "-o", "a.gif"), "a.gif", ".png")


# --- what goes wrong -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check", "block.svg"], "--width"),
        (["check", "--width", "4in"], "ART"),
        (["check", "block.svg", "--width", "4in", "--colour", "red"], "--colour"),
        (["proof", "night.duskjob"], "--out"),
        (["pack"], "JOB"),
        (["chekc", "block.svg", "--width", "4in"], "chekc"),
        (["--nonsense"], "--nonsense"),
        (["pack", "absent.duskjob"], "absent.duskjob: cannot be opened (no such file"),
        (["pack", "block.svg"], "block.svg: is not a Duskwright job"),
        (["proof", "empty.duskjob", "-o", "a.png"], "empty.duskjob: is empty"),
        (["proof", ".", "-o", "a.png"], "is not a file"),
        (["pack", "newer.duskjob"], "newer.duskjob: was saved by a later Duskwright"),
        (["check", ".", "--width", "4in"], "is a folder"),
        (["demo", "--out", "block.svg"], "block.svg"),
        (["demo", "--out", "block.svg/below"], "block.svg"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(
    run: Run, tmp_path: Path, arguments: list[str], words: str
) -> None:
    (tmp_path / "empty.duskjob").write_bytes(b"")
    (tmp_path / "newer.duskjob").write_bytes(newer_job())
    one_line_error(run(*arguments), words)


def newer_job() -> bytes:
    import zipfile

    with zipfile.ZipFile(io.BytesIO(job_bytes(small_job()))) as opened:
        content = {name: opened.read(name) for name in opened.namelist()}
    content["job.json"] = content["job.json"].replace(b'"format": %d' % FORMAT, b'"format": 99')
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as written:
        for name, data in content.items():
            written.writestr(name, data)
    return buffer.getvalue()


def failing(*_: Any, **__: Any) -> Any:
    raise ZeroDivisionError("inner secret")


def test_an_unexpected_error_is_one_line_with_a_hint(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_command, "check_artwork", failing)
    line = one_line_error(
        run("check", "block.svg", "--width", "4in"), "ZeroDivisionError", "DUSKWRIGHT_DEBUG=1"
    )
    assert "inner secret" not in line


def test_the_trace_is_there_for_who_asks_for_it(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_command, "check_artwork", failing)
    monkeypatch.setenv(console.DEBUG, "1")
    result = run("check", "block.svg", "--width", "4in")
    assert result.exit_code == 2
    assert "Traceback" in result.stderr
    assert "inner secret" in result.stderr


@pytest.mark.parametrize("stop", [KeyboardInterrupt, Cancelled])
def test_stopping_is_no_error(run: Run, monkeypatch: pytest.MonkeyPatch, stop: type[BaseException]) -> None:
    def stopped(*_: Any, **__: Any) -> Any:
        raise stop

    monkeypatch.setattr(check_command, "check_artwork", stopped)
    result = run("check", "block.svg", "--width", "4in")
    assert (result.exit_code, result.stderr.strip()) == (130, "Stopped.")


def test_an_error_line_is_one_line_whatever_it_holds() -> None:
    assert "\n" not in error_line(ValueError("a\nb"))
    assert error_line(LayoutError("x is locked")).startswith("x is locked. ")
    assert "memory" in error_line(MemoryError())
    assert error_line(DuskwrightError("Plug it in")) == "Plug it in."
