"""Words that the outputs' own face cannot set: another face stands in, and never is a blank box drawn.

Source of joining and order: Unicode Standard Annex 9 and HarfBuzz, held in tests/core/art.
"""

import io
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from PIL import Image

from layout_core.art.fonts import find_fonts
from layout_core.outputs import stand_ins
from layout_core.outputs.drawing import Anchor, Drawing, Words, every_words
from layout_core.outputs.drawing_pdf import to_pdf
from layout_core.outputs.drawing_png import to_png
from layout_core.outputs.drawing_svg import to_svg
from layout_core.outputs.lacking import LACKING
from layout_core.outputs.press_ticket import ticket_pages
from layout_core.outputs.proof import layout_proof
from layout_core.outputs.typeface import is_own, lacks, showable, text_width
from layout_core.outputs.word_outlines import words_outline, words_width_mm
from tests.core.outputs.shop_job import shop_job

SIGNS = {"夜": 100, "蛾": 200, "ب": 300, "א": 400, "😀": 500}
"""The height of each sign's box in the small font, in thousandths of an em; all are 900 wide."""


@pytest.fixture
def small_font_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A font of bars for a few signs of far-off scripts."""
    names = {sign: f"u{ord(sign):05X}" for sign in SIGNS}
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", *names.values()])
    builder.setupCharacterMap({ord(sign): name for sign, name in names.items()})
    heights = {".notdef": 700, **{names[sign]: height for sign, height in SIGNS.items()}}
    builder.setupGlyf({name: bar(height) for name, height in heights.items()})
    builder.setupHorizontalMetrics(dict.fromkeys(heights, (1000, 50)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Bars", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.font.save(tmp_path / "bars.ttf")
    monkeypatch.setattr(stand_ins, "font_shelf", lambda: find_fonts([tmp_path]))
    stand_ins.forget_stand_ins()


def bar(height: int) -> object:
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for corner in ((50, height), (950, height), (950, 0)):
        pen.lineTo(corner)
    pen.closePath()
    return pen.glyph()


@pytest.mark.usefixtures("small_font_installed")
def test_an_installed_face_stands_in_for_far_off_scripts() -> None:
    assert showable("Moth 夜蛾 א 😀\ufe0f") == "Moth 夜蛾 א 😀"
    assert not lacks("夜蛾 😀\ufe0f")
    assert not is_own("夜")
    outline = words_outline("夜", 100.0)
    assert outline.bounds == pytest.approx((5.0, -10.0, 95.0, 0.0))
    assert text_width("夜蛾", 100.0, "bold") == pytest.approx(200.0)
    assert words_width_mm("夜蛾", 100.0) == pytest.approx(200.0)


@pytest.mark.usefixtures("small_font_installed")
def test_right_to_left_words_run_backwards_and_keep_the_blanks_beside_them() -> None:
    word = shapely.get_parts(words_outline("\u0628\u05d0夜", 100.0))
    heights = [round(-part.bounds[1]) for part in sorted(word, key=lambda part: part.bounds[0])]
    assert heights == [40, 30, 10]
    latin_after = words_outline("א x", 100.0)
    first, second = sorted(shapely.get_parts(latin_after), key=lambda part: part.bounds[0])[:2]
    assert second.bounds[0] - first.bounds[2] > 15.0


@pytest.mark.usefixtures("small_font_installed")
@pytest.mark.parametrize(("anchor", "left"), [("start", 100.0), ("middle", 50.0), ("end", 0.0)])
def test_picture_and_pdf_draw_them_as_shapes_where_they_belong(anchor: Anchor, left: float) -> None:
    drawing = Drawing(300, 160, (Words(100, 120, "夜", 100, "#000000", 200, "bold", anchor),))
    pixels = np.asarray(Image.open(io.BytesIO(to_png(drawing))).convert("L")) < 128
    rows, columns = np.nonzero(pixels)
    assert (columns.min(), columns.max() + 1) == (left + 5, left + 95)
    assert (rows.min(), rows.max() + 1) == (110, 120)
    assert "<text" not in to_svg(drawing)
    with pdfium.PdfDocument(to_pdf([drawing])) as pdf:
        page = np.asarray(pdf[0].render(scale=96 / 72).to_pil().convert("L")) < 128
    assert np.abs(np.argwhere(page).min(axis=0) - (110, left + 5)).max() <= 1


@pytest.mark.usefixtures("small_font_installed")
def test_two_lines_of_stand_ins_never_share_a_shape() -> None:
    words = tuple(Words(10, 40 + 40 * i, sign, 30, "#000000", 100) for i, sign in enumerate(SIGNS))
    svg = to_svg(Drawing(200, 400, words))
    assert len(set(re.findall(r' d="([^"]+)"', svg))) == len(SIGNS)


@pytest.mark.usefixtures("small_font_installed")
def test_proof_and_ticket_show_such_names_and_need_no_remark() -> None:
    job = replace(shop_job(), name="夜蛾 😀")
    for words in (every_words(layout_proof(job, ()).parts), every_words(ticket_pages(job, ())[0].parts)):
        shown = [one.text for one in words]
        assert "夜蛾 😀" in shown
        assert not any(text.startswith(LACKING[:20]) for text in shown)


def test_without_such_a_face_proof_and_ticket_say_so_in_words() -> None:
    job = replace(shop_job(), name="夜蛾 😀")
    pages = ticket_pages(job, ())
    for words in (
        list(every_words(layout_proof(job, ()).parts)),
        [one for page in pages for one in every_words(page.parts)],
    ):
        shown = [one.text for one in words]
        assert "?? ?" in shown
        assert any(text.startswith(LACKING[:20]) for text in shown)


def test_greek_of_a_lighter_weight_needs_no_installed_font() -> None:
    assert not lacks("Νυχτοπεταλούδα Ночь")
