"""Every limit of a stranger's file holds just below it, at it and just above it, at its true figure.

Nothing here is drawn: the limits stand before the parsers and renderers that they protect.
"""

import base64
import gzip
import struct
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely
from lxml import etree

from layout_core.art import caps, intake, raster, svg_route, trace
from layout_core.art.css import Cascade
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.safe_xml import parsed
from layout_core.art.sandbox import Sandbox
from layout_core.art.sniff import unpacked
from layout_core.art.svg import Walker
from layout_core.art.svg_guards import check_dashes, check_numbers, check_patterns, check_references
from layout_core.art.viewport import page_of
from layout_core.errors import ArtError, ArtLimitError
from layout_core.job import archive, bounds
from tests.hostile.pictures import chunk, png

NS = 'xmlns="http://www.w3.org/2000/svg"'
Check = Callable[[int], object]
_USE = '<use href="#a"/>'


def _svg(body: str) -> bytes:
    return f'<svg {NS} width="100" height="100">{body}</svg>'.encode()


def _elements(count: int) -> object:
    return parsed(_svg("<g/>" * (count - 1)))


def _depth(depth: int) -> object:
    return parsed(_svg("<g>" * (depth - 1) + "</g>" * (depth - 1)))


def _references_written(count: int) -> object:
    return parsed(_svg('<use href="#a"/>' * count))


def _ids(root: etree._Element) -> dict[str, etree._Element]:
    return {str(element.get("id")): element for element in root.iter() if element.get("id")}


def _references_followed(count: int) -> None:
    """199 references drawn 99 times are 19,800 of them with those to their group; the rest stand alone."""
    group = f'<defs><rect id="a"/><g id="g">{_USE * 199}</g></defs>' + '<use href="#g"/>' * 99
    root = parsed(_svg(group + _USE * (count - 19_800)))
    check_references(root, _ids(root))


def _reference_chain(levels: int) -> None:
    links = "".join(f'<g id="c{n}"><use href="#c{n + 1}"/></g>' for n in range(1, levels))
    root = parsed(_svg(f'<defs>{links}<g id="c{levels}"/></defs><use href="#c1"/>'))
    check_references(root, _ids(root))


def _number(number: int) -> None:
    check_numbers(parsed(_svg(f'<path d="M0 0L-{number} 5"/><rect style="stroke-width:{number}"/>')))


def _dashes(count: int) -> None:
    root = parsed(_svg(f'<path d="M0 0H{count}" stroke="red" stroke-dasharray=".75 .25"/>'))
    check_dashes(root, Cascade(root), 100, 100)


def _tile_times(count: int) -> None:
    """A pattern whose height comes of another one, beside two that may be as large as they like."""
    root = parsed(
        _svg(
            f'<pattern id="a" height="{2 * count}"/><pattern id="b" href="#a" width="50%"/>'
            '<pattern id="unused" width="900" height="900"/>'
            '<pattern id="c" patternUnits="userSpaceOnUse" width="900" height="900"/>'
            '<rect width="9" height="9" fill="url(#b)"/><rect width="9" height="9" fill="url(#c)"/>'
        )
    )
    check_patterns(root, _ids(root))


def _visits(count: int) -> object:
    """Drawn and not only counted, so the elements draw nothing; the page itself is none of them."""
    root = parsed(_svg('<g id="g">' + "<g/>" * 999 + "</g>"))
    page = page_of("100", "100", None, None)
    walker = Walker(Cascade(root), page, 0.1, _ids(root), 0.5)
    walker._visits = count - 1_000
    return walker.walk(root)


def _pixels(count: int) -> object:
    """A header that claims so many pixels, and nothing behind it: read, it would be damaged."""
    return raster._decoded(png(count, 1, 8, b""), "png")


def _inner_pixels(count: int) -> None:
    picture = base64.b64encode(png(count - 25, 1, 8, b"")).decode()
    small = base64.b64encode(png(5, 5, 8, b"")).decode()
    links = "".join(f'<image href="data:image/png;base64,{data}"/>' for data in (picture, small))
    svg_route._check_pictures(parsed(_svg(links)))


def _file_bytes(count: int) -> object:
    return unpacked(bytes(count))


def _unpacked_bytes(count: int) -> object:
    """Zeros of which half a MB is noise, so that the ratio allows them."""
    noise = np.random.default_rng(1).integers(0, 256, 700_000, dtype=np.uint8).tobytes()
    return unpacked(gzip.compress(noise + bytes(count - len(noise)), 1))


_LIMITS: dict[str, tuple[Check, float]] = {
    "elements": (_elements, caps.ELEMENTS),
    "depth": (_depth, caps.DEPTH),
    "references written": (_references_written, caps.REFERENCES),
    "references followed": (_references_followed, caps.REFERENCES),
    "references onward": (_reference_chain, caps.REFERENCE_DEPTH),
    "tile of a pattern": (_tile_times, caps.PATTERN_TIMES),
    "elements drawn": (_visits, caps.VISITS),
    "number": (_number, caps.NUMBER),
    "dashes": (_dashes, caps.DASHES),
    "pixels": (_pixels, caps.PIXELS),
    "pixels inside": (_inner_pixels, caps.EMBEDDED_PIXELS),
    "bytes of a file": (_file_bytes, caps.FILE_BYTES),
    "bytes unpacked": (_unpacked_bytes, caps.UNPACKED_BYTES),
}


@pytest.mark.parametrize("name", _LIMITS)
def test_a_limit_holds_just_below_at_and_just_above_its_figure(name: str) -> None:
    check, limit = _LIMITS[name]
    for below in (int(limit) - 1, int(limit)):
        try:
            check(below)
        except OverLimit as refusal:
            pytest.fail(f"{below} is within the limit, but it {refusal}")
        except Refused:
            continue  # what the cut picture is, once it may be decoded
    with pytest.raises(OverLimit):
        check(int(limit) + 1)


def test_the_figures_are_those_agreed() -> None:
    assert (caps.FILE_BYTES, caps.PIXELS, caps.UNPACK_RATIO) == (50_000_000, 100_000_000, 100)
    assert (caps.ELEMENTS, caps.DEPTH, caps.REFERENCES) == (100_000, 200, 20_000)
    assert (caps.NUMBER, caps.DASHES, caps.VERTICES) == (1e6, 10_000, 2_000_000)
    assert (caps.MEMORY_BYTES, caps.SECONDS) == (2_000_000_000, 20.0)
    assert (archive.MOST_RATIO, bounds.MOST_VERTICES) == (caps.UNPACK_RATIO, caps.VERTICES)


def test_a_huge_tile_is_told_in_a_clear_sentence() -> None:
    body = (
        '<pattern id="p" width="100" height="100"><circle r="2"/></pattern>'
        '<rect width="90" height="90" fill="url(#p)"/>'
    )
    with pytest.raises(
        OverLimit, match=r"tile is 10,000 times what it fills; the limit is 16\. .*userSpaceOnUse"
    ):
        svg_route.read_svg(_svg(body))


def test_a_depth_that_no_parser_takes_is_refused_too() -> None:
    with pytest.raises(OverLimit, match="deeper than 200"):
        _depth(100_000)


@pytest.mark.parametrize(("size", "is_refused"), [(50_001, False), (50_000, False), (49_999, True)])
def test_the_ratio_of_packing_holds_at_its_edge(size: int, is_refused: bool) -> None:
    """Five million zeros, packed into a file of exactly so many bytes by a long remark in its head."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    plain = bytes(5_000_000)
    body = packer.compress(plain) + packer.flush() + struct.pack("<II", zlib.crc32(plain), len(plain))
    head = b"\x1f\x8b\x08\x10\0\0\0\0\0\xff"  # a remark follows. Source: RFC 1952, section 2.3
    data = head + b"a" * (size - len(head) - len(body) - 1) + b"\0" + body
    assert len(data) == size
    if is_refused:
        with pytest.raises(OverLimit):
            unpacked(data)
    else:
        assert unpacked(data) == plain


def test_a_small_file_may_pack_as_well_as_it_can() -> None:
    assert len(unpacked(gzip.compress(bytes(caps.UNPACK_FREE_BYTES)))) == caps.UNPACK_FREE_BYTES
    with pytest.raises(OverLimit):
        unpacked(gzip.compress(bytes(caps.UNPACK_FREE_BYTES + 1)))


def test_the_corners_of_a_tracing_are_limited(monkeypatch: pytest.MonkeyPatch) -> None:
    """A dot of a few corners, with the limit moved to either side of their number."""
    dot = np.zeros((9, 9), dtype=np.uint8)
    dot[3:6, 3:6] = 255
    corners = int(shapely.get_num_coordinates(trace._band(np.pad(dot, 1), 0, 127.5)).sum())
    for limit in (corners + 1, corners):
        monkeypatch.setattr(caps, "VERTICES", limit)
        assert not trace.traced(dot)[0].is_empty
    monkeypatch.setattr(caps, "VERTICES", corners - 1)
    with pytest.raises(OverLimit, match="fine detail"):
        trace.traced(dot)


@pytest.mark.parametrize(
    ("size", "reason"), [(-1, "is not an SVG"), (0, "is not an SVG"), (1, "the limit is 50 MB")]
)
def test_the_size_of_a_file_is_asked_before_it_is_read(size: int, reason: str, tmp_path: Path) -> None:
    path = tmp_path / "large.svg"
    with path.open("wb") as file:
        file.truncate(caps.FILE_BYTES + size)
    if size <= 0:
        assert len(intake._file_bytes(path)) == caps.FILE_BYTES + size
        return
    with pytest.raises(ArtLimitError, match=reason):
        intake._file_bytes(path)


def test_a_file_that_grew_after_it_was_asked_is_read_no_further(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(caps, "FILE_BYTES", 9)
    with pytest.raises(ArtLimitError):
        intake._asked("a.svg", bytes(10), lambda fraction, label: None, {}, 1.0, Sandbox())


def test_a_bomb_of_text_in_a_picture_is_not_unpacked() -> None:
    """200 MB of zeros in a compressed text chunk. Source: ISO/IEC 15948 section 11.3.4.3 (zTXt)."""
    bomb = png(9, 9, 8, bytes(90), extra=chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(200_000_000))))
    with pytest.raises(Refused, match="damaged"):
        raster._decoded(bomb, "png")


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds a process to its memory limit")
def test_the_worker_runs_under_its_limit_of_memory() -> None:
    box = Sandbox()
    with pytest.raises(ArtError):
        intake.read_art_bytes("a.svg", b"<svg", sandbox=box)
    running = box._running
    assert running is not None
    lines = Path(f"/proc/{running.process.pid}/limits").read_text().splitlines()
    (space,) = (line for line in lines if line.startswith("Max address space"))
    assert int(space.split()[3]) <= caps.MEMORY_BYTES
    box.close()
