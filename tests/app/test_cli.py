"""The commands: what they print, their exit codes, and one line for every error."""

import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import shapely
from click.testing import CliRunner, Result

from app import check_command, console
from app.cli import cli, require_display
from app.console import error_line, progress_shown
from layout_core.art.intake import read_art
from layout_core.errors import Cancelled, DuskwrightError, LayoutError
from layout_core.job import edits
from layout_core.job.file import job_bytes, read_job, write_job
from layout_core.job.model import Job
from layout_core.progress import no_progress
from layout_core.units import mm
from tests.make import GLOW, make_artwork, svg_of

# 40 x 30 mm of ink: a solid block, and beside it a bar of 0.3 mm (0.012 in), below the 0.018 in that stops.
BLOCK, BAR = shapely.box(0, 0, 40, 30), shapely.box(35, 0, 35.3, 30)
THIN = shapely.union_all([shapely.box(0, 0, 30, 30), BAR, shapely.box(39, 0, 40, 30)])

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command line in a folder of its own, which holds art and a job."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(console.DEBUG, raising=False)
    for name, shape in (("block.svg", BLOCK), ("thin.svg", THIN)):
        (tmp_path / name).write_bytes(svg_of(make_artwork(shape).outline))
    write_job(tmp_path / "night.duskjob", small_job())
    (tmp_path / "broken.svg").write_bytes(b"<svg")
    return lambda *arguments: CliRunner().invoke(cli, [str(argument) for argument in arguments])


def small_job() -> Job:
    """One sheet of 100 x 100 mm; wanted: three copies of a 40 x 30 mm block, two of one too large for it."""
    job = edits.new_job("Moth night", GLOW)
    job = edits.change_sheet(job, 1, width_mm=100.0, length_mm=100.0, gap_mm=5.0)
    job = edits.add_order(job, "moth survey night", "Moth group")  # 2
    job = edits.add_order(job, "tide-pool lantern walk", "Walkers")  # 3
    job = edits.add_art(job, make_artwork(BLOCK, "block"))  # 4
    job = edits.add_piece(job, 4, name="moth", width_mm=40.0, copies=3, order_id=2)
    return edits.add_piece(job, 4, name="giant", width_mm=130.0, copies=2, order_id=3)


def one_line_error(result: Result, *words: str) -> str:
    """The one line a refused command says; nothing else, no trace, exit 2."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    text = result.stderr
    assert text.endswith("\n")
    assert text.count("\n") == 1, text
    assert "Traceback" not in text
    for word in words:
        assert word in text
    return text


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
    assert "nothing to find fault with" in run("check", "block.svg", "--width", "4in").stdout


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
    content["job.json"] = content["job.json"].replace(b'"format": 1', b'"format": 99')
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


# --- window, help, progress ----------------------------------------------------------------------------


def test_help_names_the_commands_and_no_more(run: Run) -> None:
    result = run("--help")
    assert result.exit_code == 0
    listed = {
        line.split()[0] for line in result.stdout.partition("Commands:")[2].splitlines() if line.strip()
    }
    assert listed == {"check", "demo", "pack", "proof"}
    assert run("--version").stdout.startswith("duskwright 0.")


def test_without_a_command_the_window_is_opened(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    import app.wiring

    asked: list[Path | None] = []

    def run_window(job: Path | None) -> int:
        asked.append(job)
        return 0

    monkeypatch.setattr(app.wiring, "run_window", run_window)
    assert run().exit_code == 0
    assert run("night.duskjob").exit_code == 0
    assert asked == [None, Path("night.duskjob")]
    one_line_error(run("absent.duskjob"), "absent.duskjob: cannot be opened")
    assert len(asked) == 2


def test_without_a_display_the_window_is_refused_before_qt_ends_the_program() -> None:
    with pytest.raises(DuskwrightError, match="no display"):
        require_display({}, "linux")
    for environment in (
        {"DISPLAY": ":0"},
        {"WAYLAND_DISPLAY": "wayland-0"},
        {"QT_QPA_PLATFORM": "offscreen"},
    ):
        require_display(environment, "linux")
    require_display({}, "win32")
    require_display({}, "darwin")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_bar_is_drawn_on_a_terminal_and_nothing_in_a_pipe() -> None:
    terminal, pipe = Terminal(), io.StringIO()
    with progress_shown(terminal) as progress:
        progress(0.5, "Filling [bold]")
    assert "Filling [bold]" in terminal.getvalue()
    with progress_shown(pipe) as progress:
        assert progress is no_progress
    assert pipe.getvalue() == ""


# --- the real program ----------------------------------------------------------------------------------

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
WATCHED = (
    "import sys; from app.cli import main\n"
    "class NoQt:\n"
    "    def find_spec(self, name, path=None, target=None):\n"
    "        assert name.partition('.')[0] not in ('PySide6', 'shiboken6'), name\n"
    "sys.meta_path.insert(0, NoQt())\n"
    "try: main(sys.argv[1:])\n"
    "finally: print([name for name in ('PySide6', 'rich') if name in sys.modules], file=sys.stderr)"
)


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "block.svg", "--width", "4in", "--json"],
        ["pack", "night.duskjob", "--json"],
        ["proof", "night.duskjob", "-o", "a.png"],
        ["--help"],
    ],
)
def test_no_command_imports_qt(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    environment = {
        key: value for key, value in ENVIRONMENT.items() if "DISPLAY" not in key and "QT_" not in key
    }
    ended = subprocess.run(
        [sys.executable, "-c", WATCHED, *arguments],
        cwd=tmp_path, capture_output=True, text=True, check=False, env=environment,
    )  # fmt: skip
    assert ended.returncode == 0, ended.stderr
    assert ended.stderr == "[]\n"


def test_a_reader_that_goes_away_is_no_error(run: Run, tmp_path: Path) -> None:
    """As in `duskwright --help | head -1`."""
    program = subprocess.Popen(
        [sys.executable, "-c", "from app.cli import main; input(); main(['--help'])"],
        cwd=tmp_path, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env=ENVIRONMENT,
    )  # fmt: skip
    assert program.stdout is not None
    program.stdout.close()
    _, errors = program.communicate(b"\n")
    assert (program.returncode, errors) == (0, b"")


def test_a_name_that_the_terminal_cannot_show_does_not_end_the_command(run: Run, tmp_path: Path) -> None:
    name = "Mondf\u00e4nger \u2603.svg"
    (tmp_path / name).write_bytes((tmp_path / "block.svg").read_bytes())
    ended = subprocess.run(
        [sys.executable, "-m", "app", "check", name, "absent \u2603.svg", "--width", "4in"],
        cwd=tmp_path, capture_output=True, check=False,
        env={**ENVIRONMENT, "PYTHONIOENCODING": "cp1252"},
    )  # fmt: skip
    assert ended.returncode == 2
    assert ended.stdout.startswith(b"Mondf\xe4nger ?.svg: 4 x 3 in")
    assert ended.stderr.startswith(b"absent \\u2603.svg: ")
    assert b"Traceback" not in ended.stderr
