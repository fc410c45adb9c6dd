"""The program as it is started: the window, help, progress, and what it imports."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from app.cli import require_display
from app.console import progress_shown
from layout_core.errors import DuskwrightError
from layout_core.job import edits
from layout_core.job.file import write_job
from layout_core.progress import no_progress
from tests.app.command_folder import Run, one_line_error, small_job


@pytest.fixture(autouse=True)
def room(run: Run, tmp_path: Path) -> None:
    """A second job in the folder, all of whose pieces have room."""
    write_job(tmp_path / "room.duskjob", edits.remove_piece(small_job(), 6))


def test_help_names_the_commands_and_no_more(run: Run) -> None:
    result = run("--help")
    assert result.exit_code == 0
    listed = {
        line.split()[0] for line in result.stdout.partition("Commands:")[2].splitlines() if line.strip()
    }
    assert listed == {
        "check",
        "demo",
        "fonts",
        "handoff",
        "letter",
        "names",
        "pack",
        "plan",
        "proof",
        "shape",
    }
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
        ["pack", "room.duskjob", "--json"],
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


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
def test_an_output_that_is_full_is_said_in_one_line(run: Run, tmp_path: Path) -> None:
    with open("/dev/full", "wb") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "app", "pack", "room.duskjob", "--json"],
            cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False, env=ENVIRONMENT,
        )  # fmt: skip
    assert ended.returncode == 2
    assert ended.stderr.startswith("the output cannot be used (no space left on device).")
    assert ended.stderr.count("\n") == 1


def test_no_terminal_at_all_is_no_error(run: Run, tmp_path: Path) -> None:
    """A program started without a console on Windows has no streams."""
    code = "import sys; sys.stdout = sys.stderr = None; from app.cli import main; main(sys.argv[1:])"
    for arguments, returncode in ((["--help"], 0), (["pack", "absent.duskjob"], 2)):
        ended = subprocess.run(
            [sys.executable, "-c", code, *arguments], cwd=tmp_path, check=False, env=ENVIRONMENT
        )
        assert ended.returncode == returncode
