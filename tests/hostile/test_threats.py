"""What a stranger's file may not do: reach out, run, be believed about names, or write elsewhere."""

import ast
import os
import socket
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest

import app
import layout_core
from layout_core.art.intake import read_art
from layout_core.art.sandbox import Sandbox
from layout_core.errors import ArtError
from layout_core.files import write_whole
from layout_core.outputs.file_names import file_word, file_words
from layout_core.outputs.new_folder import whole_folder
from tests.hostile.pictures import png

SOURCES = sorted(
    path for package in (app, layout_core) for path in Path(str(package.__file__)).parent.rglob("*.py")
)

_RUNNING = frozenset({"eval", "exec", "compile", "__import__"})
_BELIEVING = frozenset({"pickle", "cPickle", "dill", "marshal", "shelve", "yaml", "joblib", "cloudpickle"})
_BELIEVING_CALLS = frozenset({"extractall", "extract", "unpack_archive", "fromfile", "load_module"})


def _faults(tree: ast.AST) -> Iterator[str]:
    """What of the code runs or believes data."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.partition(".")[0] in _BELIEVING)
        elif isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] in _BELIEVING:
            yield str(node.module)
        elif isinstance(node, ast.Call):
            yield from _call_faults(node)


def _call_faults(call: ast.Call) -> Iterator[str]:
    if isinstance(call.func, ast.Name) and call.func.id in _RUNNING:
        yield call.func.id
    if isinstance(call.func, ast.Attribute):
        name = call.func.attr
        owner = call.func.value.id if isinstance(call.func.value, ast.Name) else ""
        if name in _BELIEVING_CALLS or (owner in ("np", "numpy", "torch") and name == "load"):
            yield f"{owner}.{name}"
        if (owner, name) == ("os", "system"):
            yield "os.system"
    for keyword in call.keywords:
        if keyword.arg in ("shell", "allow_pickle") and not (
            isinstance(keyword.value, ast.Constant) and keyword.value.value is False
        ):
            yield str(keyword.arg)


def test_no_code_runs_or_believes_what_it_reads() -> None:
    """No pickle, eval, yaml, shell or blind unpacking anywhere in the program."""
    assert len(SOURCES) > 100
    found = [
        f"{path.name}: {fault}"
        for path in SOURCES
        for fault in _faults(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


@pytest.mark.parametrize(
    "code",
    [
        "import pickle", "from yaml import load", "import shelve as s", "eval('1')", "exec(x)", "np.load(p)",
        "z.extractall()", "run(x, shell=True)", "np.load(p, allow_pickle=yes)", "os.system('x')",
    ],
)  # fmt: skip
def test_code_that_did_would_be_found(code: str) -> None:
    assert list(_faults(ast.parse(code)))


_SPY = """
import sys, threading
from pathlib import Path
from layout_core.art.convert import convert
from layout_core.art.refusal import Refused
seen = []
def hook(event, arguments):
    if event in ("open", "socket.connect", "socket.getaddrinfo", "subprocess.Popen", "os.exec"):
        seen.append(f"{event} {arguments[0]!r} {arguments[1:2]!r}")
data = Path(sys.argv[1]).read_bytes()
sys.addaudithook(hook)
try:
    convert(data)
except Refused as refusal:
    print("refused", refusal)
print(chr(10).join(f"SEEN {one}" for one in seen))
"""
_SENTINEL = "SENTINEL-OF-THE-LANTERN-WALK"


def _reaching(secret: str, server: str) -> dict[str, str]:
    links = 'xmlns="http://www.w3.org/2000/svg" xmlns:l="http://www.w3.org/1999/xlink"'
    head = f'<svg {links} width="90" height="90">'
    ink = '<rect width="20" height="20"/>'
    made: dict[str, str] = {}
    for name, to in (("file", secret), ("net", server)):
        outer = f'<!DOCTYPE svg [<!ENTITY x SYSTEM "{to}">]>'
        parameter = f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "{to}"> %p;]>'
        include = f'<i:include xmlns:i="http://www.w3.org/2001/XInclude" href="{to}" parse="text"/>'
        face = f"@font-face{{font-family:f;src:url({to})}}"
        sheet = f'<style>@import "{to}"; {face}</style><text y="9" font-family="f">a</text>'
        paint = f'<path d="M0 0H9V9z" fill="url({to}#p)" filter="url({to}#f)"/>'
        made |= {
            f"entity {name}": f"{outer}{head}{ink}<text y='9'>&x;</text></svg>",
            f"parameter entity {name}": f"{parameter}{head}{ink}</svg>",
            f"dtd {name}": f'<!DOCTYPE svg SYSTEM "{to}">{head}{ink}</svg>',
            f"include {name}": f"{head}{ink}{include}</svg>",
            f"image {name}": f'{head}{ink}<image href="{to}" width="9" height="9"/></svg>',
            f"use {name}": f'{head}{ink}<use l:href="{to}#a"/></svg>',
            f"style {name}": f'<?xml-stylesheet href="{to}"?>{head}{ink}{sheet}</svg>',
            f"paint {name}": f"{head}{ink}{paint}</svg>",
            f"escaped {name}": f"{head}{ink}<style>rect{{fill:u\\72l({to})}}</style></svg>",
        }
    return made


_CASES = tuple(_reaching("", ""))


@pytest.mark.parametrize("case", _CASES)
def test_no_file_is_read_and_nobody_is_called(case: str, tmp_path: Path) -> None:
    """Python's own reads are told by its audit hook; others would hang on a pipe or be heard by a server."""
    secret = tmp_path / "secret.txt"
    if hasattr(os, "mkfifo"):
        os.mkfifo(secret)
    else:
        secret.write_text(_SENTINEL)
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setblocking(False)
        address = f"http://127.0.0.1:{server.getsockname()[1]}/x.svg"
        art = tmp_path / "art.svg"
        art.write_text(_reaching(secret.as_uri(), address)[case], "utf-8")
        run = subprocess.run(
            [sys.executable, "-c", _SPY, str(art)], capture_output=True, text=True, timeout=120, check=True
        )
        with pytest.raises(BlockingIOError):
            server.accept()
    assert "secret.txt" not in run.stdout
    assert "socket." not in run.stdout
    assert "Popen" not in run.stdout


def test_what_a_file_beside_holds_never_gets_into_the_art(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text(_SENTINEL)
    picture = tmp_path / "p.png"
    picture.write_bytes(png(9, 9, 8, bytes(90)))
    sandbox = Sandbox()
    for case, text in _reaching(secret.as_uri(), picture.as_uri()).items():
        path = tmp_path / "art.svg"
        path.write_text(text, "utf-8")
        try:
            art = read_art(path, sandbox=sandbox)
        except ArtError:
            continue  # refused whole
        assert art.width_mm == pytest.approx(20 * 25.4 / 96, rel=0.2), case
        assert _SENTINEL not in " ".join(art.notes)
    sandbox.close()


HOSTILE_NAMES = (
    "../../evil", "..\\..\\evil", "/etc/passwd", "C:\\evil", "a/b", "a\0b.exe", "CON", "nul", "com1",
    "LPT9.txt",
    ".hidden", "-rf", "a\nb", "x\u202egnp.exe", "  ", ".", "..", "...", "trailing.", "trailing ", "<>:\"|?*",
    "a" * 400, "é" * 200, "\ufeff", "$(rm)", "`rm`", "%2e%2e%2f", "~root", "\u2215etc", "🦋",
)  # fmt: skip
_WINDOWS_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}
)
"""Source: Microsoft's page on naming files, paths and namespaces; from memory."""


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_a_hostile_name_makes_a_plain_file_name(name: str) -> None:
    word = file_word(name)
    assert word
    assert word.isascii()
    assert set(word) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not word.startswith("-")
    assert len(word.encode()) <= 120
    assert word not in _WINDOWS_DEVICES
    assert unicodedata.normalize("NFC", word) == word


def test_hostile_names_stay_in_their_folder_and_apart(tmp_path: Path) -> None:
    """Files of all of them, written as an output is, leave the folder outside as it was."""
    (tmp_path / "sentinel").write_text(_SENTINEL)
    words = file_words(enumerate(HOSTILE_NAMES), "order")
    assert len(set(words.values())) == len(HOSTILE_NAMES)
    with whole_folder(tmp_path / "out") as folder:
        for word in words.values():
            folder.write(f"{word}.pdf", b"x")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out", "sentinel"]
    assert (tmp_path / "sentinel").read_text() == _SENTINEL
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(
        f"{word}.pdf" for word in words.values()
    )


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_saving_onto_a_link_writes_what_it_points_to_and_keeps_the_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_bytes(b"old")
    try:
        link.symlink_to(real)
    except OSError:
        pytest.skip("this user may make no links")
    write_whole(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "real"]
