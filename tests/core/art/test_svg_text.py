"""Text of drawings: set by vectors in fonts that are here, named and left out in fonts that are not."""

from collections.abc import Callable

import numpy as np
import pytest
import shapely
import uharfbuzz as hb
from fontTools.ttLib import newTable
from shapely.geometry.base import BaseGeometry

from layout_core.art import ink_route, verify
from layout_core.art.converted import Converted
from layout_core.art.font_match import families_of, font_match, weight_of
from layout_core.art.fonts import bundled_faces, forget_fonts, open_font
from layout_core.art.refusal import Refused
from layout_core.art.svg_route import read_svg
from layout_core.art.viewport import MM_PER_PX
from layout_core.user_folders import config_folder
from tests.core.art.small_fonts import font_bytes, install, small_font

FONT = 'font-family="Fredoka One"'
SIZE = 20.0


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(verify, "_LEAST_PX", 500.0)
    monkeypatch.setattr(ink_route, "_RENDER_PX", 800.0)


def read(body: str) -> Converted:
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100" viewBox="0 0 200 100">'
    return read_svg(f"{page}{body}</svg>".encode())


def shapes(body: str) -> BaseGeometry:
    """The ink in user units; it must have come by vectors."""
    converted = read(body)
    assert converted.route == "vector", converted.notes
    return shapely.transform(converted.outline, lambda xy: xy / MM_PER_PX)


def advance(words: str) -> float:
    """The width HarfBuzz gives the words at `SIZE`, from the font's own tables (hmtx, kern, GPOS)."""
    face = next(face for face in bundled_faces() if face.name == "Fredoka One")
    font = open_font(face)
    buffer = hb.Buffer()
    buffer.add_str(words)
    buffer.guess_segment_properties()
    hb.shape(font.font, buffer, {})
    return float(sum(one.x_advance for one in buffer.glyph_positions)) * SIZE / font.units_per_em


def ink(x: float, y: float, words: str, more: str = "") -> BaseGeometry:
    return shapes(f'<text x="{x}" y="{y}" {FONT} font-size="{SIZE}" {more}>{words}</text>')


def same(one: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(shapely.symmetric_difference(one, other).area < 0.002 * one.area)


def moved(shape: BaseGeometry, dx: float, dy: float = 0.0) -> BaseGeometry:
    return shapely.transform(shape, lambda xy: xy + np.array([dx, dy]))


def test_letters_stand_on_the_line_and_are_as_tall_as_the_font_says() -> None:
    """SVG 2, section 11.2: y is the baseline. Cap height: OpenType, OS/2 table."""
    face = next(face for face in bundled_faces() if face.name == "Fredoka One")
    font = open_font(face)
    _, top, _, bottom = ink(10, 60, "H").bounds
    assert bottom == pytest.approx(60, abs=0.05)
    assert bottom - top == pytest.approx(font.cap_height * SIZE / font.units_per_em, abs=0.1)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_the_anchor_moves_the_line_by_its_shaped_width(anchor: str, share: float) -> None:
    plain = ink(100, 50, "AVATO")
    anchored = ink(100, 50, "AVATO", f'text-anchor="{anchor}"')
    assert same(moved(plain, -share * advance("AVATO")), anchored)


def test_kerning_is_the_fonts_own() -> None:
    pair = ink(20, 50, "AV")
    apart = shapes(
        f'<g {FONT} font-size="{SIZE}"><text x="20" y="50">A</text>'
        f'<text x="{20 + advance("AV") - advance("V")}" y="50">V</text></g>'
    )
    assert same(pair, apart)


def test_lists_place_turn_and_shift_signs_one_by_one() -> None:
    """SVG 2, section 11.4: x, y, dx, dy and rotate as lists; the last turn holds for the rest."""
    lists = 'x="20 60 120" y="40 70" dx="0 5" rotate="0 90"'
    listed = shapes(f'<text {lists} {FONT} font-size="{SIZE}">HHH</text>')
    assert len(shapely.get_parts(listed)) == 3
    turned = shapes(f'<text transform="translate(65 70) rotate(90)" {FONT} font-size="{SIZE}">H</text>')
    parts = sorted(shapely.get_parts(listed), key=lambda part: part.bounds[0])
    assert same(parts[0], ink(20, 40, "H"))
    assert any(same(part, turned) for part in parts[1:])


def test_space_is_collapsed_unless_it_is_to_be_kept() -> None:
    """SVG 1.1, section 10.15."""
    assert same(ink(20, 50, "\n  A \t  B \n"), ink(20, 50, "A B"))
    wide = ink(20, 50, "A  B", 'xml:space="preserve"')
    assert wide.bounds[2] == pytest.approx(ink(20, 50, "A B").bounds[2] + advance(" "), abs=0.05)


def test_tspans_go_on_where_the_text_before_them_ended() -> None:
    line = shapes(
        f'<text x="20" y="50" {FONT} font-size="{SIZE}">O<tspan font-size="40">O</tspan>'
        '<tspan x="20" dy="2em" fill-opacity="1">O</tspan></text>'
    )
    parts = sorted(shapely.get_parts(line), key=lambda part: (part.bounds[3] > 60, part.area))
    assert same(parts[0], ink(20, 50, "O"))
    big = shapes(f'<text x="{20 + advance("O")}" y="50" {FONT} font-size="40">O</text>')
    assert same(parts[1], big)
    assert same(parts[2], ink(20, 90, "O"))


def test_a_stroke_grows_letters_and_letter_spacing_moves_them() -> None:
    assert ink(20, 50, "I", 'stroke="black" stroke-width="2"').bounds[0] == pytest.approx(
        ink(20, 50, "I").bounds[0] - 1, abs=0.05
    )
    spaced = ink(20, 50, "OO", 'letter-spacing="4"')
    assert same(max(shapely.get_parts(spaced), key=lambda part: part.bounds[0]),
                moved(ink(20, 50, "O"), advance("OO") - advance("O") + 4))  # fmt: skip


def test_a_font_shorthand_is_read() -> None:
    """CSS Fonts Module Level 4, section 2.7."""
    short = shapes(f'<text x="20" y="50" style="font:{SIZE}px/1.2 \'Fredoka One\', serif">Moth</text>')
    assert same(short, ink(20, 50, "Moth"))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (f'<path id="p" d="M9 50H90"/><text {FONT}><textPath href="#p">a</textPath></text>', "along a path"),
        (f'<text y="50" {FONT} text-decoration="underline">moth</text>', "underlined text"),
        (f'<text x="50" y="5" {FONT} writing-mode="tb">moth</text>', "upright text"),
        (f'<text y="50" {FONT} textLength="90">moth</text>', "stretched to a length"),
        (f'<text y="50" {FONT}>m日</text>', "signs that the font “Fredoka One” lacks"),
    ],
)  # fmt: skip
def test_what_cannot_be_set_exactly_is_traced_and_says_why(body: str, words: str) -> None:
    converted = read(body)
    assert converted.route == "raster"
    assert words in " ".join(converted.notes)


def test_a_missing_font_is_named_and_its_words_are_left_out_not_guessed() -> None:
    converted = read(
        '<rect width="20" height="20"/><text y="80" font-family="Lantern Gothic">Night walk</text>'
    )
    assert converted.route == "vector"
    assert converted.outline.area / MM_PER_PX**2 == pytest.approx(400, rel=0.001)
    assert "“Lantern Gothic” is not on this computer: “Night walk” was left out" in converted.notes[0]


def test_a_drawing_of_nothing_but_missing_words_is_refused_by_the_fonts_name() -> None:
    with pytest.raises(Refused, match="Lantern Gothic"):
        read('<text y="80" font-family="Lantern Gothic">Night walk</text>')


def test_a_family_that_allows_any_other_is_set_and_named() -> None:
    converted = read('<text y="80" font-family="Lantern Gothic, sans-serif">Night</text>')
    assert converted.route == "vector"
    assert "“Lantern Gothic” is not here" in converted.notes[0]
    assert "Manrope" in converted.notes[0]


def test_a_weight_or_slant_that_the_family_lacks_counts_as_missing() -> None:
    assert font_match({"font-family": "Fredoka One"}).face is not None
    for more in ({"font-weight": "bold"}, {"font-style": "italic"}):
        match = font_match({"font-family": "Fredoka One", **more})
        assert match.face is None
        assert match.asked in ("Fredoka One Bold", "Fredoka One Italic")


def test_lists_of_families_and_weights_are_read_as_css_writes_them() -> None:
    assert families_of("'Moth, Night', \"Tide  Pool\",sans-serif, ") == [
        "Moth, Night",
        "Tide Pool",
        "sans-serif",
    ]
    assert [weight_of(word) for word in ("bold", "normal", "250", "heavy")] == [700, 400, 250, 400]


def test_an_installed_font_is_used_and_its_boxes_have_their_area() -> None:
    install(config_folder().parent, small_font())
    forget_fonts()
    boxes = shapes('<text x="10" y="50" font-family="small boxes" font-size="10">HAx</text>')
    area = (400 * 700 + 500 * 700 + 300 * 500) / 1000**2 * 10**2
    assert boxes.area == pytest.approx(area, rel=0.001)


def _colour_font() -> bytes:
    font = small_font(family="Moth Faces")
    table = newTable("COLR")
    table.data = bytes(16)
    table.compile = lambda _font: bytes(16)
    font["COLR"] = table
    return font_bytes(font)


def _nameless_font() -> bytes:
    """Without a PostScript name: the renderer that traces text does not know such a font."""
    font = small_font(family="Moth Faces")
    font["name"].removeNames(nameID=6)
    return font_bytes(font)


def _cut_font() -> bytes:
    return font_bytes(small_font(family="Moth Faces"))[:400]


@pytest.mark.parametrize("make", [_colour_font, _nameless_font, _cut_font])
def test_text_in_a_colour_or_broken_font_counts_as_missing(make: Callable[[], bytes]) -> None:
    install(config_folder().parent, make(), "faces.ttf")
    forget_fonts()
    converted = read('<rect width="9" height="9"/><text y="50" font-family="Moth Faces">H</text>')
    assert "“Moth Faces” is not on this computer" in converted.notes[0]
