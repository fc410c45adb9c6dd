"""Broken and hostile art: one clear sentence each, no hang, nothing fetched, and the next file works."""

import base64
import gzip
import os
import socket
import sys
import zlib
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from layout_core.art.intake import read_art, read_art_bytes
from layout_core.art.sandbox import Sandbox
from layout_core.errors import ArtError, ArtLimitError
from tests.core.art.pdf_files import pdf
from tests.hostile.pictures import chunk, png

HERE = Path(__file__).parent / "art"
HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' width="100" height="100">'
)
SQUARE = '<rect width="20" height="20"/>'
GOOD = f"{HEAD}{SQUARE}</svg>".encode()


@pytest.fixture(scope="module")
def sandbox() -> Iterator[Sandbox]:
    box = Sandbox()
    yield box
    box.close()


def svg(body: str, before: str = "") -> bytes:
    return f"{before}{HEAD}{body}</svg>".encode()


def _doctype(entities: str) -> str:
    return f"<!DOCTYPE svg [{entities}]>"


def _laughs() -> bytes:
    names = "abcdefghij"
    entities = '<!ENTITY a "ha">' + "".join(
        f'<!ENTITY {name} "{f"&{before};" * 10}">' for before, name in pairwise(names)
    )
    return svg("<text>&j;</text>", _doctype(entities))


def _use_bomb(extra: str = "") -> bytes:
    levels = "".join(f'<g id="g{n + 1}">{f"""<use href="#g{n}"/>""" * 10}</g>' for n in range(9))
    return svg(f'{extra}<defs><g id="g0">{SQUARE}</g>{levels}</defs><use href="#g9"/>')


def _nested(depth: int) -> bytes:
    return svg("<g>" * (depth - 2) + SQUARE + "</g>" * (depth - 2))


_NOISY = png(99, 99, 8, b"".join(b"\0" + bytes(n * n * k % 251 for n in range(99)) for k in range(99)))
_BLACK_30000 = png(30_000, 30_000, 1, bytes((30_000 // 8 + 1) * 30_000))

_OWN = "/Resources << /XObject << /F 4 0 R >> >>"

BAD: dict[str, tuple[bytes, type[ArtError], str]] = {
    "empty.svg": (b"", ArtError, "is empty"),
    "spaces.svg": (b" \n ", ArtError, "not an SVG, PDF, PNG or JPEG"),
    "words.svg": (b"just a letter", ArtError, "not an SVG, PDF, PNG or JPEG"),
    "page.svg": (b"<html><body/></html>", ArtError, "not an SVG drawing"),
    "cut.svg": (GOOD[:-20], ArtError, "not a complete SVG"),
    "cut.png": (_NOISY[: len(_NOISY) // 2], ArtError, "damaged PNG"),
    "cut.jpg": (b"\xff\xd8\xff\xe0\x00\x10JFIF", ArtError, "damaged JPEG"),
    "cut.svgz": (gzip.compress(GOOD)[:-12], ArtError, "SVGZ file cut short|damaged SVGZ"),
    "really.png": (b"%PDF-1.7", ArtError, "damaged PDF"),
    "script.png": (b"%!PS-Adobe-3.0 EPSF-3.0", ArtError, "PostScript .EPS.; save it as PDF or SVG"),
    "deep.pdf": (
        pdf("/F Do", forms={"F": (f"/BBox [0 0 9 9] {_OWN}", "0 0 5 5 re f /F Do")}),
        ArtLimitError,
        "nests its forms",
    ),
    "giant.pdf": (pdf("0 0 5 5 re f", media="0 0 900000 900000"), ArtLimitError, "beyond any sheet"),
    "dashes.pdf": (pdf("1 w [.001 .001] 0 d 0 50 m 90 50 l S"), ArtLimitError, "dashes"),
    "cut.pdf": (pdf("0 0 5 5 re f")[:120], ArtError, "damaged PDF"),
    "layers.png": (b"8BPS\0\1", ArtError, "layered picture"),
    "packed.svg": (b"PK\x03\x04rest", ArtError, "zip archive"),
    "laughs.svg": (_laughs(), ArtLimitError, "multiply without end"),
    "quadratic.svg": (
        svg(f"<text>{'&a;' * 10_000}</text>", _doctype(f'<!ENTITY a "{"A" * 50_000}">')),
        ArtLimitError,
        "multiply without end",
    ),
    "outer entity.svg": (
        svg("<text>&x;</text>", _doctype('<!ENTITY x SYSTEM "file:///etc/hostname">')),
        ArtError,
        "not a complete SVG",
    ),
    "use bomb.svg": (_use_bomb(), ArtLimitError, "references"),
    "use bomb with text.svg": (_use_bomb('<text y="9">a</text>'), ArtLimitError, "references"),
    "use cycle.svg": (
        svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'),
        ArtError,
        "nothing in it that prints|repeats its parts",
    ),
    "deep.svg": (_nested(201), ArtLimitError, "deeper than 200"),
    "very deep.svg": (_nested(20_000), ArtLimitError, "deeper than 200"),
    "long use chain.svg": (
        svg(
            "<defs>"
            + "".join(f'<g id="c{n}"><use href="#c{n + 1}"/></g>' for n in range(9_000))
            + '</defs><use href="#c0"/>'
        ),
        ArtLimitError,
        "more than 100 levels",
    ),
    "many.svg": (svg("<g/>" * 100_001), ArtLimitError, "more than 100,000 elements"),
    "svgz bomb.svgz": (gzip.compress(b"<svg>" + b" " * 80_000_000), ArtLimitError, "unpacks to far more"),
    "pixel bomb.png": (_BLACK_30000, ArtLimitError, "megapixels"),
    "text bomb.png": (
        png(9, 9, 8, bytes(90), extra=chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(80_000_000)))),
        ArtError,
        "damaged PNG|blank",
    ),
    "inner pixel bomb.svg": (
        svg(
            '<image width="9" height="9" href="data:image/png;base64,'
            f'{base64.b64encode(_BLACK_30000).decode()}"/>'
        ),
        ArtLimitError,
        "megapixels",
    ),
    "billion inches.svg": (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="1000000000in" height="1in"/>',
        ArtLimitError,
        "beyond the limit",
    ),
    "far coordinate.svg": (svg('<path d="M0 0L1e300 5"/>'), ArtLimitError, "beyond the limit"),
    "far number in a style.svg": (
        svg("<style>path{stroke-width:2e9}</style>" + SQUARE),
        ArtLimitError,
        "beyond the limit",
    ),
    "stretched beyond sense.svg": (
        svg('<g transform="scale(1000000)"><g transform="scale(1000000)"><circle r="1000000"/></g></g>'),
        ArtError,
        "corners|nothing in it that prints",
    ),
    "no size.svg": (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0 0"/>',
        ArtError,
        "without a size",
    ),
    "blank.svg": (svg(""), ArtError, "nothing in it that prints"),
    "blank.png": (png(9, 9, 8, bytes(90)), ArtError, "blank"),
    "brackets.svg": (
        svg(f"<style>rect{{fill:{'(' * 50_000}}}</style>{SQUARE}"),
        ArtLimitError,
        "too deeply",
    ),
    "dashes through use.svg": (
        svg('<defs><path id="p" d="M0 0H9000"/></defs><use href="#p" stroke="red" stroke-dasharray=".001"/>'),
        ArtLimitError,
        "dashes",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_art_gives_one_clear_sentence_that_names_the_file(name: str, sandbox: Sandbox) -> None:
    data, kind, reason = BAD[name]
    with pytest.raises(kind, match=reason) as caught:
        read_art_bytes(name, data, sandbox=sandbox)
    text = str(caught.value)
    assert text.startswith(f"{name}: ")
    assert "\n" not in text
    assert len(text) < 200


@pytest.mark.parametrize(
    ("file", "reason"),
    [("abort_a", "number"), ("abort_b", "number"), ("hang_arc", "number"), ("slow_dash", "dashes")],
)
def test_files_that_stopped_or_stalled_the_renderer_are_refused(
    file: str, reason: str, sandbox: Sandbox
) -> None:
    """Found by fuzzing resvg 0.48: abort_* end its process, hang_arc loops, slow_dash takes minutes."""
    with pytest.raises(ArtLimitError, match=reason):
        read_art(HERE / f"{file}.svg", sandbox=sandbox)


def test_not_a_number_coordinates_end_their_path_and_no_more(sandbox: Sandbox) -> None:
    art = read_art_bytes("nan.svg", svg(f'<path d="M0 0L nan 5z"/>{SQUARE}'), sandbox=sandbox)
    assert art.outline.area == pytest.approx((20 * 25.4 / 96) ** 2)


@pytest.mark.parametrize("box", ["0 0 nan 96", "0 0 96 inf", "nan 0 96 96", "-inf 0 96 96"])
def test_a_view_box_that_is_no_number_counts_as_none(box: str, sandbox: Sandbox) -> None:
    data = GOOD.replace(b' width="100"', f' viewBox="{box}" width="100"'.encode())
    assert read_art_bytes("box.svg", data, sandbox=sandbox).width_mm == pytest.approx(20 * 25.4 / 96)


def test_two_hundred_nested_elements_are_still_read(sandbox: Sandbox) -> None:
    art = read_art_bytes("deep.svg", _nested(200), sandbox=sandbox)
    assert art.width_mm == pytest.approx(20 * 25.4 / 96)


def test_nothing_is_fetched_and_no_file_is_read(tmp_path: Path, sandbox: Sandbox) -> None:
    """A socket hears nobody, a picture beside the art leaves no ink, a pipe that nobody feeds would hang."""
    picture = tmp_path / "outside.png"
    picture.write_bytes(png(9, 9, 8, bytes(90)))
    targets = [picture.as_uri(), str(picture), "outside.png"]
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.png")
        targets += [str(tmp_path / "pipe.png"), (tmp_path / "pipe.png").as_uri()]
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setblocking(False)
        targets.append(f"http://127.0.0.1:{server.getsockname()[1]}/x.png")
        art_path = tmp_path / "art.svg"
        art_path.write_text(_reaching_out(targets), "utf-8")
        art = read_art(art_path, sandbox=sandbox, timeout_s=15)
        with pytest.raises(BlockingIOError):
            server.accept()
    assert art.width_mm == pytest.approx(20 * 25.4 / 96, rel=1e-3)
    assert any("outside the file was dropped" in note for note in art.notes)


def _reaching_out(targets: list[str]) -> str:
    body = "".join(
        f'<image href="{t}" x="30" width="50" height="50"/>'
        f'<image xlink:href="{t}" y="30" width="50" height="50"/>'
        f'<use href="{t}#a"/><rect x="60" y="60" width="9" height="9" fill="url({t}#p)"/>'
        f'<style>@import url("{t}"); rect.q {{ fill: url({t}#p) }}</style>'
        f'<filter id="f{n}"><feImage href="{t}"/></filter><script href="{t}"/>'
        for n, t in enumerate(targets)
    )
    doctype = f'<?xml-stylesheet href="{targets[0]}"?><!DOCTYPE svg SYSTEM "{targets[-1]}">'
    return f"{doctype}{HEAD}{SQUARE}{body}</svg>"


def test_slow_art_is_stopped_and_the_next_file_is_read(sandbox: Sandbox) -> None:
    noise = '<filter id="f"><feTurbulence numOctaves="1000000" baseFrequency=".1"/></filter>'
    slow = svg(f'{noise}<rect width="90" height="90" filter="url(#f)"/>')
    with pytest.raises(ArtLimitError, match="takes longer than 1 s"):
        read_art_bytes("slow.svg", slow, sandbox=sandbox, timeout_s=1)
    assert read_art_bytes("good.svg", GOOD, sandbox=sandbox).route == "vector"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds a process to its memory limit")
def test_art_that_needs_too_much_memory_ends_the_worker_only(sandbox: Sandbox) -> None:
    flood = '<filter id="f" x="-1000" y="-1000" width="100000" height="100000"><feFlood/></filter>'
    with pytest.raises(ArtLimitError, match=r"memory|longer"):
        read_art_bytes(
            "flood.svg", svg(f'{flood}<rect width="50" height="50" filter="url(#f)"/>'), sandbox=sandbox
        )
    assert read_art_bytes("good.svg", GOOD, sandbox=sandbox).route == "vector"


@pytest.mark.parametrize("name", ["x\n\u202egnp.svg", "\u2028", "<img src=x>.svg", "a" * 400])
def test_hostile_names_stay_on_one_line(name: str, sandbox: Sandbox) -> None:
    with pytest.raises(ArtError) as caught:
        read_art_bytes(name, b"", sandbox=sandbox)
    assert caught.value.file_name.isprintable()
    assert len(caught.value.file_name) <= 120


def test_what_is_no_plain_file_is_refused_unread(tmp_path: Path, sandbox: Sandbox) -> None:
    with pytest.raises(ArtError, match="is a folder"):
        read_art(tmp_path, sandbox=sandbox)
    with pytest.raises(ArtError, match="cannot be opened"):
        read_art(tmp_path / "gone.svg", sandbox=sandbox)
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.svg")
        with pytest.raises(ArtError, match="not a plain file"):
            read_art(tmp_path / "pipe.svg", sandbox=sandbox)


def test_a_file_over_the_size_limit_is_refused_unread(tmp_path: Path, sandbox: Sandbox) -> None:
    path = tmp_path / "large.svg"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    with pytest.raises(ArtLimitError, match="the limit is 50 MB"):
        read_art(path, sandbox=sandbox)
