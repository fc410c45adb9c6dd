"""Lines set in a font: places of glyphs against fontTools' tables and figures built into small fonts."""

from pathlib import Path

import pytest
import uharfbuzz as hb
from fontTools.ttLib import TTFont

from layout_core.art.fonts import Face, OpenFont, bundled_faces, open_font, read_face
from layout_core.art.shaping import ShapedLine, shaped_line
from tests.core.art.small_fonts import install, small_font


@pytest.fixture(scope="module")
def boxes(tmp_path_factory: pytest.TempPathFactory) -> OpenFont:
    return open_font(read_face(install(tmp_path_factory.mktemp("fonts"), small_font())))


def places(line: str, shaped: ShapedLine) -> list[tuple[str, float]]:
    """The character and the place of each glyph, from left to right."""
    return [(line[glyph.at], glyph.x) for glyph in shaped.glyphs]


@pytest.mark.parametrize("face", bundled_faces(), ids=lambda face: face.name)
def test_letters_without_kerning_are_as_wide_as_the_hmtx_table_says(face: Face) -> None:
    font = TTFont(face.path)
    cmap = font.getBestCmap()
    for letter in "HOnm8&":
        shaped = shaped_line(letter, open_font(face))
        assert shaped.advance == font["hmtx"][cmap[ord(letter)]][0]
        assert shaped.glyphs[0].glyph_id == font.getGlyphID(cmap[ord(letter)])


def test_kerning_moves_letters_by_what_the_font_says(boxes: OpenFont) -> None:
    """A is 600 wide, V too; the pairs are -120 and -80."""
    assert places("AVA", shaped_line("AVA", boxes)) == [("A", 0.0), ("V", 480.0), ("A", 1000.0)]
    assert shaped_line("AVA", boxes).advance == 1600.0
    assert shaped_line("AH", boxes).advance == 1100.0


def test_a_face_with_kerning_is_as_wide_as_harfbuzz_alone_makes_it() -> None:
    """The plain sum of fontTools' widths less the kerning that HarfBuzz reports on its own."""
    face = next(face for face in bundled_faces() if face.name == "Lato Black")
    font = TTFont(face.path)
    cmap = font.getBestCmap()
    plain = sum(font["hmtx"][cmap[ord(letter)]][0] for letter in "AVATAR")
    buffer = hb.Buffer()
    buffer.add_str("AVATAR")
    buffer.guess_segment_properties()
    hb.shape(hb.Font(hb.Face(face.path.read_bytes())), buffer)
    kerned = sum(position.x_advance for position in buffer.glyph_positions)
    assert shaped_line("AVATAR", open_font(face)).advance == kerned < plain


def test_a_ligature_is_one_glyph_and_tracking_takes_it_apart(boxes: OpenFont) -> None:
    assert places("fi", shaped_line("fi", boxes)) == [("f", 0.0)]
    assert shaped_line("fi", boxes).advance == 450.0
    assert places("fi", shaped_line("fi", boxes, 50.0)) == [("f", 0.0), ("i", 350.0)]


def test_tracking_goes_between_letters_and_not_before_or_after(boxes: OpenFont) -> None:
    assert places("HHH", shaped_line("HHH", boxes, 30.0)) == [("H", 0.0), ("H", 530.0), ("H", 1060.0)]
    assert shaped_line("HHH", boxes, 30.0).advance == 1560.0
    assert shaped_line("HH", boxes, -30.0).advance == 970.0


def test_a_combining_mark_sits_on_its_letter_however_tracked(boxes: OpenFont) -> None:
    """x has its anchor at (200, 500), the mark at (0, 550): the mark's origin is 200 right and 50 down."""
    for tracking in (0.0, 100.0):
        letter, mark, after = shaped_line("x\u0301x", boxes, tracking).glyphs
        assert (letter.x, mark.x, mark.y) == (0.0, 200.0, -50.0)
        assert after.x == 400.0 + tracking


def test_right_to_left_letters_run_right_to_left(boxes: OpenFont) -> None:
    assert places("אב", shaped_line("אב", boxes)) == [("ב", 0.0), ("א", 300.0)]
    assert [sign for sign, _ in places("H אב 12 H", shaped_line("H אב 12 H", boxes))] == list("H 12 בא H")


def test_brackets_are_mirrored_in_right_to_left_words(boxes: OpenFont) -> None:
    """Rule L4: the bracket that opens is drawn with the glyph of the one that closes, 300 wide."""
    line = "א(ב)"
    glyphs = shaped_line(line, boxes).glyphs
    assert [line[glyph.at] for glyph in glyphs] == [")", "ב", "(", "א"]
    opening = boxes.font.get_nominal_glyph(ord("("))
    closing = boxes.font.get_nominal_glyph(ord(")"))
    assert [glyphs[0].glyph_id, glyphs[2].glyph_id] == [opening, closing]


def test_missing_letters_are_named_once_each(boxes: OpenFont) -> None:
    shaped = shaped_line("HЖxЖ日H", boxes)
    assert shaped.missing == ("Ж", "日")
    assert shaped_line("H\u200dH", boxes).missing == ()


def _arabic_font() -> TTFont:
    """Beh in its four forms, each as wide as its number: alone 100, first 200, middle 300, last 400."""
    from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
    from fontTools.fontBuilder import FontBuilder

    from tests.core.art.small_fonts import _box

    wide = {".notdef": 500, "beh": 100, "beh.init": 200, "beh.medi": 300, "beh.fina": 400, "H": 500}
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(wide))
    builder.setupCharacterMap({0x0628: "beh", ord("H"): "H"})
    builder.setupGlyf({name: _box((0, 0, advance, 700)) for name, advance in wide.items()})
    builder.setupHorizontalMetrics({name: (advance, 0) for name, advance in wide.items()})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Beh", "styleName": "Regular"})
    builder.setupOS2(version=1)
    builder.setupPost()
    forms = "".join(
        f"feature {form} {{ sub beh by beh.{form}; }} {form};" for form in ("init", "medi", "fina")
    )
    addOpenTypeFeaturesFromString(builder.font, f"languagesystem arab dflt; {forms}")
    return builder.font


@pytest.fixture
def beh(tmp_path: Path) -> OpenFont:
    return open_font(read_face(install(tmp_path, _arabic_font(), "beh.ttf")))


def test_arabic_letters_join_and_tracking_does_not_tear_them(beh: OpenFont) -> None:
    """From left to right the last, middle and first form: 400, 300 and 200 wide."""
    word = "\u0628" * 3
    for tracking in (0.0, 100.0):
        shaped = shaped_line(word, beh, tracking)
        assert [glyph.x for glyph in shaped.glyphs] == [0.0, 400.0, 700.0]
        assert shaped.advance == 900.0
    assert shaped_line("\u0628", beh).advance == 100.0
    assert shaped_line(word + "H", beh, 100.0).advance == 900.0 + 100.0 + 500.0
