"""What an SVG's page, paint and text do to the art: its size, its place, and the sentences for people."""

import gzip

import numpy as np
import pytest
import shapely

from layout_core.art import caps
from layout_core.art.convert import convert
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.svg_route import read_svg
from layout_core.art.viewport import MM_PER_PX

NS = 'xmlns="http://www.w3.org/2000/svg"'
SQUARE = '<rect width="20" height="20"/>'


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layout_core.art.verify._LEAST_PX", 400.0)
    monkeypatch.setattr("layout_core.art.ink_route._RENDER_PX", 1000.0)


def extent_mm(root: str, body: str = SQUARE) -> tuple[float, float, bool]:
    converted = read_svg(f"<svg {NS} {root}>{body}</svg>".encode())
    x0, y0, x1, y1 = converted.outline.bounds
    return x1 - x0, y1 - y0, converted.size_known


@pytest.mark.parametrize(
    ("root", "side_mm", "is_known"),
    [
        ('width="4in" height="4in" viewBox="0 0 80 80"', 25.4, True),
        ('width="80mm" height="80mm" viewBox="0 0 80 80"', 20.0, True),
        ('width="8cm" viewBox="0 0 80 80"', 20.0, True),
        ('width="288pt" height="288pt" viewBox="0 0 80 80"', 25.4, True),
        ('width="24pc" height="24pc" viewBox="0 0 80 80"', 25.4, True),
        ('width="96" height="96"', 20 * MM_PER_PX, False),
        ('width="192px" height="192px" viewBox="0 0 96 96"', 40 * MM_PER_PX, False),
        ('viewBox="0 0 96 96"', 20 * MM_PER_PX, False),
        ('width="100%" height="100%" viewBox="0 0 96 96"', 20 * MM_PER_PX, False),
        ("", 20 * MM_PER_PX, False),
    ],
)
def test_natural_size_is_what_the_file_states(root: str, side_mm: float, is_known: bool) -> None:
    """Source: CSS Values and Units Level 3, section 5.2: 1 in = 2.54 cm = 72 pt = 6 pc = 96 px."""
    width, height, size_known = extent_mm(root)
    assert (width, height) == pytest.approx((side_mm, side_mm))
    assert size_known is is_known


def test_art_beyond_the_page_is_cut_at_its_edge() -> None:
    width, height, _ = extent_mm('width="40" height="40"', '<circle cx="40" cy="20" r="10"/>')
    assert (width, height) == pytest.approx((10 * MM_PER_PX, 20 * MM_PER_PX), rel=1e-3)


def test_fractional_page_is_not_distorted() -> None:
    """A page of 74.4094 x 105.2362 px: the renderer alone would round it to whole pixels."""
    body = '<path d="M5 5H70V100H5Z M10 10V95H65V10Z" fill-rule="evenodd"/>'
    converted = read_svg(f'<svg {NS} width="74.4094" height="105.2362">{body}</svg>'.encode())
    assert converted.route == "vector"


def test_small_icons_stay_smooth_at_eleven_inches() -> None:
    """A circle drawn 16 px across and placed 11 in wide: within the stated 0.00025 in of the curve."""
    converted = read_svg(f'<svg {NS} viewBox="0 0 16 16"><circle cx="8" cy="8" r="8"/></svg>'.encode())
    corners = shapely.get_coordinates(converted.outline)
    centre = np.array([8, 8]) * MM_PER_PX
    chords = shapely.get_coordinates(shapely.segmentize(converted.outline, MM_PER_PX / 50)) - centre
    off_in = np.abs(np.hypot(chords[:, 0], chords[:, 1]) / MM_PER_PX / 8 - 1) * 5.5
    assert off_in.max() <= caps.FLATTEN_IN * 1.05
    assert len(corners) < 2000


def test_a_small_mark_on_a_large_page_stays_smooth() -> None:
    body = '<circle cx="500" cy="500" r="8"/>'
    small = read_svg(f'<svg {NS} viewBox="0 0 1000 1000">{body}</svg>'.encode())
    assert small.route == "vector"
    assert shapely.get_num_coordinates(small.outline) > 200


def notes_of(body: str, root: str = 'width="96" height="96"') -> str:
    return " ".join(read_svg(f"<svg {NS} {root}>{body}</svg>".encode()).notes)


def test_knocked_out_paint_is_noted() -> None:
    assert "Knocked out" not in notes_of('<rect width="9" height="9" fill="#fff"/>')
    eyes = f'{SQUARE}<rect width="9" height="9" fill="#fff"/>'
    assert "Knocked out: #ffffff" in notes_of(eyes)


def test_page_wide_ink_is_noted() -> None:
    assert "fills the whole page" in notes_of('<rect width="100%" height="100%"/>')


def test_see_through_paint_prints_from_half_on() -> None:
    body = '<rect width="9" height="9" opacity=".6"/><rect x="20" width="9" height="9" opacity=".4"/>'
    converted = read_svg(f'<svg {NS} width="96" height="96">{body}</svg>'.encode())
    assert converted.outline.area == pytest.approx(81 * MM_PER_PX**2, rel=1e-2)
    assert any("See-through" in note for note in converted.notes)


def test_missing_font_is_named() -> None:
    notes = notes_of('<text y="60" font-size="40" font-family="Nonesuch Gothic">ab</text>' + SQUARE)
    assert "Nonesuch Gothic" in notes
    assert "outlines" in notes


def test_empty_text_does_not_cost_the_exact_route() -> None:
    converted = read_svg(f'<svg {NS} width="96" height="96">{SQUARE}<text> </text></svg>'.encode())
    assert converted.route == "vector"


def test_scripts_and_animation_are_dropped_and_noted() -> None:
    notes = notes_of(f'{SQUARE}<script>x</script><animate attributeName="x"/>')
    assert "script" in notes
    assert "Animation" in notes


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "iso-8859-1"])
def test_any_declared_encoding_is_read(encoding: str) -> None:
    declaration = f'<?xml version="1.0" encoding="{encoding}"?>'
    text = f'{declaration}<svg {NS} width="96" height="96"><desc>é</desc>{SQUARE}</svg>'
    converted, plain = convert(text.encode(encoding))
    assert converted.route == "vector"
    assert plain == text.encode(encoding)


def test_old_clip_art_without_namespaces_is_read() -> None:
    data = f'<svg width="96" height="96"><x:meta x:y="1"/>{SQUARE}<use xlink:href="#a" x="40"/></svg>'
    converted = read_svg(data.replace("<rect", '<rect id="a"').encode())
    assert shapely.get_num_geometries(converted.outline) == 2


def test_packed_drawings_are_unpacked() -> None:
    data = f'<svg {NS} width="96" height="96">{SQUARE}</svg>'.encode()
    converted, plain = convert(gzip.compress(data))
    assert converted.suffix == "svg"
    assert plain == data


def test_repeated_dots_keep_their_number() -> None:
    dots = "".join(f"M{x} {y}h1v1h-1z" for x in range(0, 60, 2) for y in range(0, 60, 2))
    converted = read_svg(f'<svg {NS} width="96" height="96"><path d="{dots}"/></svg>'.encode())
    assert shapely.get_num_geometries(converted.outline) == 900


@pytest.mark.parametrize("cap", ["ELEMENTS", "DEPTH", "REFERENCES", "DASHES", "NUMBER"])
def test_limits_hold_at_their_edge(cap: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each drawing holds exactly ten of the thing: refused at a limit of nine, read at ten and eleven."""
    bodies = {
        "ELEMENTS": SQUARE * 9,
        "DEPTH": "<g>" * 8 + SQUARE + "</g>" * 8,
        "REFERENCES": '<rect id="a" width="5" height="5"/>' + '<use href="#a"/>' * 10,
        "DASHES": '<path d="M0 5H50" stroke="red" stroke-width="4" stroke-dasharray="3 2"/>',
        "NUMBER": '<rect width="1e1" height="5"/>',
    }
    page = 'width="9" height="9" viewBox="0 0 9 9"' if cap == "NUMBER" else 'width="96" height="96"'
    data = f"<svg {NS} {page}>{bodies[cap]}</svg>".encode()
    monkeypatch.setattr(caps, cap, 9)
    with pytest.raises(OverLimit):
        read_svg(data)
    for enough in (10, 11):
        monkeypatch.setattr(caps, cap, enough)
        assert not read_svg(data).outline.is_empty


def test_a_drawing_without_ink_is_refused() -> None:
    with pytest.raises(Refused, match="nothing in it that prints"):
        read_svg(f'<svg {NS} width="96" height="96"><rect width="9" height="9" fill="none"/></svg>'.encode())
