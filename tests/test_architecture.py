"""The house rules a tool can hold: what lies where, how long it is, what it may name."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml",
    "app", "layout_core", "tests", "sample_art", "resources",
}  # fmt: skip
LONGEST_FILE, LONGEST_FUNCTION = 450, 60


def tracked_files() -> list[Path]:
    """The project's own files: what git knows or would take, or every plain file of an unpacked archive."""
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    names = (
        listing.stdout.splitlines()
        if listing.returncode == 0
        else [
            str(path.relative_to(ROOT))
            for top in TOP_LEVEL
            for path in (ROOT / top, *(ROOT / top).rglob("*"))
        ]
    )
    return [ROOT / name for name in names if (ROOT / name).is_file()]


def python_files() -> list[Path]:
    return [path for path in tracked_files() if path.suffix == ".py"]


def test_top_level_holds_only_what_the_design_card_names() -> None:
    top = {path.relative_to(ROOT).parts[0] for path in tracked_files()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_no_file_is_too_long_to_read() -> None:
    long = {
        str(p.relative_to(ROOT)): n
        for p in python_files()
        if (n := len(p.read_text("utf-8").splitlines())) > LONGEST_FILE
    }
    assert long == {}


def test_no_function_is_too_long_to_read() -> None:
    long = {}
    for path in python_files():
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                length = (node.end_lineno or node.lineno) - node.lineno + 1
                if length > LONGEST_FUNCTION:
                    long[f"{path.relative_to(ROOT)}:{node.name}"] = length
    assert long == {}


def test_every_module_of_the_program_says_its_one_job() -> None:
    silent = [
        str(path.relative_to(ROOT))
        for path in python_files()
        if path.relative_to(ROOT).parts[0] in ("app", "layout_core")
        and not (ast.get_docstring(ast.parse(path.read_text("utf-8"))) or "").strip()
    ]
    assert silent == []


FORBIDDEN = {
    "a path of one machine": re.compile(r"(?<![\w.])/(?:root|home|" + "wo" + r"rk|Users)/[A-Za-z.]"),
    "a folder users do not have": re.compile(r"\.\./" + "shared"),
    "unsafe loading": re.compile(r"\b(?:pickle\.loads?|yaml\.load|marshal\.loads?)\("),
    "work left open": re.compile(r"\b(?:TO" + "DO|FIX" + r"ME)\b"),
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_holds(what: str) -> None:
    texts = (p for p in tracked_files() if p.suffix in {".py", ".md", ".toml", ".txt", ".svg", ".csv", ""})
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in texts
        for number, line in enumerate(path.read_text("utf-8", errors="replace").splitlines(), 1)
        if FORBIDDEN[what].search(line)
    ]
    assert found == []


WRITERS = re.compile(
    r"\.write_(bytes|text)\(|QSaveFile|QSettings|\bQFile\b|open\([^)]*[\"'][rb]*[wax][tb+]*[\"']|os\.open\((?!os\.devnull)"
)


def test_one_module_alone_writes_files() -> None:
    """The rest goes through its checked writes and syncs; only the error log is added to line by line."""
    writers = {
        str(path.relative_to(ROOT))
        for top in ("app", "layout_core")
        for path in (ROOT / top).rglob("*.py")
        if WRITERS.search(path.read_text("utf-8"))
    }
    assert writers == {"layout_core/file_system.py"}
