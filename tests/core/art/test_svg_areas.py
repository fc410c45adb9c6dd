"""Analytic areas of small drawings: whichever route is taken, the ink has the area worked out by hand.

The areas are plain geometry on a page of 100 x 100 user units (circle: pi r^2, trapezium, triangle …);
those of the pentagram and of over-limit miters are worked out from its star points and from the bevel's
triangles. What each case must show is said by SVG 2: basic shapes 10, path data 9.3 (smooth curves 9.3.6 and
9.3.7, arcs 9.5), fill rules 13.4, strokes 13.5 (dashes 13.5.6), fixed-width strokes 8.13, use and symbol 5.5
and 5.6, nested pages 8.2, switch 5.9, markers 13.7, gradients 14.2, patterns 14.3; by CSS Masking 1: clips 7,
masks 8; by CSS Cascading 4: the order of rules 6; by CSS Color 4: opacity 4.
"""

import math

import pytest

from layout_core.art import ink_route, verify
from layout_core.art.svg_route import read_svg
from layout_core.art.viewport import MM_PER_PX

_SQUARE = '<rect width="20" height="20"/>'
_LARGE = 'x="50" y="50" width="50" height="50"'
_RING_OUT = "M10 10H90V90H10Z"
_RING_IN = "M30 30H70V70H30Z"
_RING_BACK = "M30 30V70H70V30Z"


def _star() -> str:
    points = [(50 + 40 * math.sin(a), 50 - 40 * math.cos(a)) for a in (k * 0.8 * math.pi for k in range(5))]
    return "M" + "L".join(f"{x:.9f} {y:.9f}" for x, y in points) + "Z"


def _star_area(*, hollow: bool) -> float:
    """A pentagram in a circle of 40: ten triangles from the centre, less the inner pentagon when hollow."""
    inner = 40 * math.cos(0.4 * math.pi) / math.cos(0.2 * math.pi)
    whole = 10 * 0.5 * 40 * inner * math.sin(0.2 * math.pi)
    return whole - 5 * 0.5 * inner**2 * math.sin(0.4 * math.pi) if hollow else whole


def _stroke(d: str, more: str) -> str:
    return f'<path d="{d}" fill="none" stroke="black" {more}/>'


CASES: dict[str, tuple[str, float]] = {
    "rect": ('<rect x="10" y="20" width="40" height="30"/>', 1200),
    "circle": ('<circle cx="50" cy="50" r="30"/>', math.pi * 900),
    "rotated elliptical arc, half": (
        '<path d="M20 50A30 30 0 0 1 80 50Z" transform="rotate(30 50 50)"/>',
        math.pi * 450,
    ),
    "arc flags without spaces": ('<path d="M20 50a30 30 0 1160 0a30 30 0 11-60 0z"/>', math.pi * 900),
    "nested rings nonzero": (f'<path d="{_RING_OUT}{_RING_IN}"/>', 6400),
    "nested rings that turn opposite ways": (f'<path d="{_RING_OUT}{_RING_BACK}"/>', 4800),
    "nested rings evenodd": (f'<path fill-rule="evenodd" d="{_RING_OUT}{_RING_IN}"/>', 4800),
    "pentagram nonzero": (f'<path d="{_star()}"/>', _star_area(hollow=False)),
    "pentagram evenodd": (f'<path fill-rule="evenodd" d="{_star()}"/>', _star_area(hollow=True)),
    "circle stroke": (
        '<circle cx="50" cy="50" r="30" fill="none" stroke="black" stroke-width="8"/>',
        math.pi * (34**2 - 26**2),
    ),
    "butt caps": (_stroke("M20 50H80", 'stroke-width="10"'), 600),
    "square caps": (_stroke("M20 50H80", 'stroke-width="10" stroke-linecap="square"'), 700),
    "round caps": (_stroke("M20 50H80", 'stroke-width="10" stroke-linecap="round"'), 600 + math.pi * 25),
    "miter corner": (_stroke("M20 80V20H80", 'stroke-width="10"'), 1200),
    "bevel corner": (_stroke("M20 80V20H80", 'stroke-width="10" stroke-linejoin="bevel"'), 1187.5),
    "round corner": (
        _stroke("M20 80V20H80", 'stroke-width="10" stroke-linejoin="round"'),
        1175 + math.pi * 25 / 4,
    ),
    "dashes": (_stroke("M10 50H85", 'stroke-width="4" stroke-dasharray="10 5"'), 200),
    "dashes with an offset": (
        _stroke("M10 50H90", 'stroke-width="3" stroke-dasharray="10" stroke-dashoffset="5"'),
        120,
    ),
    "stroke under a stretch": (_stroke("M5 20V80", 'stroke-width="2" transform="scale(3 1)"'), 360),
    "physical units": ('<rect width=".5in" height="10mm"/>', 48 * 960 / 25.4),
    "percentages": ('<rect width="50%" height="20%"/>', 1000),
    "zero-length line with round caps": (
        _stroke("M50 50h0", 'stroke-width="20" stroke-linecap="round"'),
        math.pi * 100,
    ),
    "use before its target": (
        '<use href="#a" x="20" y="20"/><defs><rect id="a" width="20" height="20"/></defs>',
        400,
    ),
    "visibility taken back by a child": (
        f'<g visibility="hidden"><rect {_LARGE}/><rect width="20" height="20" visibility="visible"/></g>',
        400,
    ),
    "display none": (f'<g display="none"><rect {_LARGE}/></g>{_SQUARE}', 400),
    "group opacity 0": (f'<g opacity="0"><rect {_LARGE}/></g>{_SQUARE}', 400),
    "clip on a group": (
        '<clipPath id="c"><rect width="20" height="20"/></clipPath>'
        '<g clip-path="url(#c)"><rect width="90" height="90"/></g>',
        400,
    ),
    "lines of fixed width": (
        '<g transform="scale(4)"><path d="M5 10H20" stroke="black" stroke-width="6" fill="none" '
        'vector-effect="non-scaling-stroke"/></g>',
        360,
    ),
    "dashes measured by the length of the path": (
        _stroke("M0 50H100", 'stroke-width="10" stroke-dasharray="1" pathLength="4"'),
        500,
    ),
    "one dash as long as the path": (
        _stroke("M0 50H100", 'stroke-width="10" stroke-dasharray="1" pathLength="1"'),
        1000,
    ),
    "unused symbol, mask and marker": (
        f"<symbol><rect {_LARGE}/></symbol><mask><rect {_LARGE}/></mask>"
        f"<marker><rect {_LARGE}/></marker>{_SQUARE}",
        400,
    ),
    "symbol with a view box": (
        '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="5"/></symbol>'
        '<use href="#s" x="10" y="10" width="40" height="40"/>',
        800,
    ),
    "rect without a width in a nested page": (
        f'<svg width="50" height="50"><rect height="20"/></svg>{_SQUARE}',
        400,
    ),
    "nested page cuts what sticks out": (
        '<svg x="25" y="25" width="50" height="50"><rect x="-15" y="-15" width="80" height="80"/></svg>',
        2500,
    ),
    "style sheet after its element": (
        f'<rect class="a" {_LARGE}/>{_SQUARE}<style>.a{{fill:none}}</style>',
        400,
    ),
    "descendant rule": (f"<style>g rect{{display:none}}</style><g><rect {_LARGE}/></g>{_SQUARE}", 400),
    "rule of two classes": (f'<style>.a.b{{fill:none}}</style><rect class="a b" {_LARGE}/>{_SQUARE}', 400),
    "id outranks class": (
        f'<style>#x{{fill:none}} .a{{fill:black}}</style><rect id="x" class="a" {_LARGE}/>{_SQUARE}',
        400,
    ),
    "important outranks the style attribute": (
        f'<style>.a{{fill:none !important}}</style><rect class="a" style="fill:black" {_LARGE}/>{_SQUARE}',
        400,
    ),
    "clip declared after its use": (
        '<rect width="100" height="100" clip-path="url(#c)"/>'
        '<clipPath id="c"><circle cx="50" cy="50" r="20"/></clipPath>',
        math.pi * 400,
    ),
    "clip in units of the box": (
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>'
        '<rect x="10" y="10" width="40" height="40" clip-path="url(#c)"/>',
        800,
    ),
    "switch": (
        f'<switch><rect requiredExtensions="urn:none" {_LARGE}/>{_SQUARE}<rect {_LARGE}/></switch>',
        400,
    ),
    "nested page that fills and cuts": (
        '<svg x="10" y="10" width="20" height="20" viewBox="0 0 10 20" preserveAspectRatio="xMidYMid slice">'
        '<rect width="10" height="20"/></svg>',
        400,
    ),
    "transparent paint": (
        f'<rect {_LARGE} fill="transparent"/><rect {_LARGE} fill="rgba(0,0,0,0)"/>{_SQUARE}',
        400,
    ),
    "smooth quadratic after a line, smooth cubic after it": ('<path d="M10 50T40 50S70 10 90 50Z"/>', 600),
    "marker": (
        '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20" refX="10" refY="10">'
        '<rect width="20" height="20"/></marker><path d="M50 50H60" marker-start="url(#m)" fill="none"/>',
        400,
    ),
    "group opacity above and below a half": (
        f'<g opacity=".6">{_SQUARE}</g><g opacity=".4"><rect {_LARGE}/></g>',
        400,
    ),
    "linear gradient that fades to nothing": (
        '<linearGradient id="g"><stop stop-opacity="1"/><stop offset="1" stop-opacity="0"/></linearGradient>'
        '<rect x="10" y="10" width="80" height="40" fill="url(#g)"/>',
        1600,
    ),
    "linear gradient that is clear in its middle, at three quarters": (
        '<linearGradient id="g" x2="0" y2="100" gradientUnits="userSpaceOnUse"><stop/>'
        '<stop offset=".5" stop-opacity="0"/><stop offset="1"/></linearGradient>'
        '<rect width="10" height="100" fill="url(#g)" fill-opacity=".6666666"/>',
        250,
    ),
    "radial gradient that fades outward": (
        '<radialGradient id="g" cx="50" cy="50" r="40" gradientUnits="userSpaceOnUse"><stop/>'
        '<stop offset="1" stop-opacity="0"/></radialGradient><rect width="100" height="100" fill="url(#g)"/>',
        math.pi * 400,
    ),
    "radial gradient with a focus, in the box's units, squeezed": (
        '<radialGradient id="g" fx=".3" gradientTransform="translate(0 .25) scale(1 .5)"><stop/>'
        '<stop offset="1" stop-opacity="0"/></radialGradient>'
        '<rect width="80" height="80" fill="url(#g)"/>',
        math.pi * 20 * 10,
    ),
    "gradient of one even alpha": (
        '<linearGradient id="g"><stop stop-opacity=".6"/><stop offset="1" stop-opacity=".6"/>'
        '</linearGradient><rect width="20" height="20" fill="url(#g)"/>'
        f'<rect {_LARGE} fill="url(#g)" fill-opacity=".8"/>',
        400,
    ),
    "gradient by reference and beyond its ends": (
        '<linearGradient id="s"><stop/><stop offset="1" stop-opacity="0"/></linearGradient>'
        '<linearGradient id="g" href="#s" x1="40" x2="60" gradientUnits="userSpaceOnUse"/>'
        '<rect width="100" height="10" fill="url(#g)"/>',
        500,
    ),
    "stroke with a gradient that fades": (
        '<linearGradient id="g" x2="100" gradientUnits="userSpaceOnUse"><stop/><stop offset="1" '
        'stop-opacity="0"/></linearGradient><path d="M0 50H100" stroke="url(#g)" stroke-width="8"/>',
        400,
    ),
    "mask": (
        '<mask id="m"><rect width="20" height="20" fill="white"/></mask>'
        '<rect width="80" height="80" mask="url(#m)"/>',
        400,
    ),
    "pattern": (
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse">'
        '<rect width="10" height="20"/></pattern>'
        '<rect width="80" height="40" fill="url(#p)"/>',
        1600,
    ),
}


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    """A third of the samples across is plenty for a page of 100 units and keeps the table quick."""
    monkeypatch.setattr(verify, "_LEAST_PX", 500.0)
    monkeypatch.setattr(ink_route, "_RENDER_PX", 800.0)


def page(body: str) -> bytes:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">{body}</svg>'
    ).encode()


@pytest.mark.parametrize("name", CASES)
def test_ink_has_the_area_worked_out_by_hand(name: str) -> None:
    body, area = CASES[name]
    converted = read_svg(page(body))
    assert converted.outline.is_valid
    assert converted.outline.area / MM_PER_PX**2 == pytest.approx(area, rel=0.004, abs=0.2)


def test_over_limit_miter_becomes_a_bevel() -> None:
    """Two legs of 40 at an angle of 20 degrees, width 10: beyond the limit of 4 SVG asks for a bevel.

    Area: two legs 40 x 10, less their overlap inside the corner (kite 25 / tan 10 deg), plus the bevel.
    """
    half = math.radians(10)
    x, y = 40 * math.cos(half), 40 * math.sin(half)
    d = f"M{20 + x} {50 - y}L20 50L{20 + x} {50 + y}"
    overlap = 25 / math.tan(half)
    bevel = 0.5 * 25 * math.sin(math.pi - 2 * half)
    converted = read_svg(page(_stroke(d, 'stroke-width="10"')))
    assert converted.outline.area / MM_PER_PX**2 == pytest.approx(800 - overlap + bevel, rel=0.004, abs=0.2)
