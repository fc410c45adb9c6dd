"""Words as art: sizes and places of the letters by hand, nothing guessed, the same to the byte each time."""

import math
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from layout_core.art.artwork import outline_digest, source_digest
from layout_core.art.fonts import bundled_faces, face_named, forget_fonts
from layout_core.art.lettering import Lettering, checked_lettering, lettering_artwork, lettering_outline
from layout_core.errors import LetteringError
from layout_core.user_folders import config_folder
from tests.core.art.small_fonts import LETTERS, install, small_font

PLAIN = Lettering("H", font="Small Boxes", cap_height_mm=70.0, ease_mm=0.0)
"""A cap height of 700 units at 70 mm: a tenth of a millimetre the unit."""


@pytest.fixture(autouse=True)
def _boxes() -> Iterator[None]:
    """The font of boxes stands in the shop's own folder."""
    install(config_folder().parent, small_font())
    forget_fonts()
    yield
    forget_fonts()


def boxes(lettering: Lettering) -> list[tuple[float, float, float, float]]:
    """The bounds of each part, from the top line down and left to right."""
    parts = [part.bounds for part in lettering_outline(lettering).geoms]
    return [
        tuple(round(value, 3) for value in part) for part in sorted(parts, key=lambda b: (round(b[3]), b[0]))
    ]  # type: ignore[misc]


def test_the_cap_height_is_the_height_of_the_h() -> None:
    assert boxes(PLAIN) == [(-20.0, -70.0, 20.0, 0.0)]
    art = lettering_artwork(replace(PLAIN, cap_height_mm=25.4))
    assert (art.width_mm, art.height_mm) == pytest.approx((25.4 * 4 / 7, 25.4), abs=1e-4)


@pytest.mark.parametrize("face", bundled_faces(), ids=lambda face: face.name)
def test_a_letter_is_as_large_as_fonttools_draws_it(face: object) -> None:
    """Width and height of the H by fontTools, scaled by the cap height of the OS/2 table."""
    assert face in bundled_faces()
    font = TTFont(face.path)  # type: ignore[attr-defined]
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord("H")]].draw(pen)
    left, bottom, right, top = pen.bounds
    scale = 20.0 / font["OS/2"].sCapHeight
    art = lettering_artwork(Lettering("H", font=face.name, cap_height_mm=20.0))  # type: ignore[attr-defined]
    assert art.width_mm == pytest.approx((right - left) * scale, abs=0.01)
    assert art.height_mm == pytest.approx((top - bottom) * scale, abs=0.01)


def test_lines_stand_apart_by_their_spacing_and_line_up_as_asked() -> None:
    """H is 40 mm of ink, HH 90; the second baseline lies 1.5 cap heights below the first."""
    two = replace(PLAIN, text="H\nHH", line_spacing=1.5)
    assert [box[3] for box in boxes(two)] == [0.0, 105.0, 105.0]
    expected = {"left": (0.0, 0.0), "centre": (-20.0, -45.0), "right": (-40.0, -90.0)}
    for alignment, (first, second) in expected.items():
        found = boxes(replace(two, alignment=alignment))  # type: ignore[arg-type]
        assert (found[0][0], found[1][0]) == (first, second)


def test_an_empty_line_between_keeps_its_room() -> None:
    assert [box[3] for box in boxes(replace(PLAIN, text="\nH\n\nH\n \n", line_spacing=1.0))] == [0.0, 140.0]


def test_tracking_is_in_thousandths_of_an_em() -> None:
    """The em is 100 mm; 200 thousandths of it are 20 mm."""
    close = boxes(replace(PLAIN, text="HH"))
    wide = boxes(replace(PLAIN, text="HH", tracking=200.0))
    assert close[1][0] - close[0][2] == pytest.approx(10.0)
    assert wide[1][0] - wide[0][2] == pytest.approx(30.0)


def test_letters_that_overlap_become_one_shape() -> None:
    """A is 50 mm of ink; pushed together by 200 thousandths of an em the second covers 10 of the first."""
    art = lettering_artwork(replace(PLAIN, text="AA", tracking=-200.0))
    assert len(art.outline.geoms) == 1
    assert art.width_mm == pytest.approx(90.0)
    assert art.outline.area == pytest.approx(90.0 * 70.0)


@pytest.mark.parametrize("text", ["", " \n\t", "\u202e\u2066"])
def test_no_words_are_refused(text: str) -> None:
    with pytest.raises(LetteringError, match="has no words"):
        lettering_artwork(replace(PLAIN, text=text))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"text": "H" * 401}, "401 letters"),
        ({"text": "H\n" * 20 + "H"}, "21 lines"),
        ({"cap_height_mm": 0.0}, "cap height"),
        ({"cap_height_mm": math.nan}, "cap height"),
        ({"line_spacing": 99.0}, "line spacing"),
        ({"tracking": -900.0}, "tracking"),
        ({"bend_deg": 360.0}, "bend"),
        ({"line_mm": 0.0}, "contour's line"),
        ({"gap_mm": math.inf}, "contour's gap"),
        ({"ease_mm": -1.0}, "notches"),
        ({"font": " "}, "no font"),
        ({"font": "x" * 200}, "no font"),
        ({"alignment": "middle"}, "no alignment"),
        ({"contour": "double"}, "contour"),
    ],
)
def test_figures_out_of_their_range_are_named(changes: dict[str, object], words: str) -> None:
    with pytest.raises(LetteringError, match=words):
        checked_lettering(replace(PLAIN, **changes))  # type: ignore[arg-type]


def test_letters_the_font_lacks_are_named_and_never_drawn_as_boxes() -> None:
    with pytest.raises(LetteringError, match="the font Small Boxes has no “Ж”, “🦋”"):
        lettering_artwork(replace(PLAIN, text="HЖ\n🦋Ж"))


def test_a_letter_that_the_font_draws_as_nothing_is_missing_too() -> None:
    letters = {**LETTERS, "x": ((0.0, 0.0, 0.0, 0.0), 400)}
    install(config_folder().parent, small_font(family="Hollow", letters=letters, features=""), "hollow.ttf")
    forget_fonts()
    with pytest.raises(LetteringError, match="has no “x”"):
        lettering_artwork(replace(PLAIN, font="Hollow", text="H x"))


def test_a_font_without_a_blank_says_so() -> None:
    letters = {sign: box for sign, box in LETTERS.items() if sign != " "}
    install(config_folder().parent, small_font(family="Tight", letters=letters, features=""), "tight.ttf")
    forget_fonts()
    with pytest.raises(LetteringError, match="has no blank;"):
        lettering_artwork(replace(PLAIN, font="Tight", text="H x"))


def test_letters_typed_with_loose_marks_are_the_composed_ones() -> None:
    assert checked_lettering(Lettering("e\u0301")).text == "é"
    loose, whole = (lettering_artwork(Lettering(text)) for text in ("Cafe\u0301", "Café"))
    assert loose.digest == whole.digest


def test_the_words_are_tidied() -> None:
    assert checked_lettering(Lettering("\r\n\x07 MOTH\tNIGHT \r\n\u202eMAY\n\n")).text == "MOTH NIGHT\nMAY"


def test_the_artwork_says_what_it_is_and_its_source_draws_the_same() -> None:
    art = lettering_artwork(replace(PLAIN, text="HH\nA"))
    assert (art.name, art.suffix, art.size_known, art.route) == ("HH A", "svg", True, "vector")
    assert art.source_digest == source_digest(art.source)
    assert art.outline_digest == outline_digest(art.outline)
    assert art.outline.bounds[:2] == (0.0, 0.0)
    assert art.outline.is_valid
    from layout_core.art.intake import read_art_bytes

    again = read_art_bytes("words.svg", art.source)
    assert again.outline.symmetric_difference(art.outline).area < 1e-3 * art.outline.area
    assert (again.width_mm, again.size_known) == (pytest.approx(art.width_mm, abs=0.01), True)


def test_another_process_makes_the_same_bytes() -> None:
    lettering = Lettering("Moth\nnight", bend_deg=40.0, contour="outside")
    code = (
        "from layout_core.art.lettering import Lettering, lettering_artwork;"
        "print(lettering_artwork(Lettering('Moth\\nnight', bend_deg=40.0, contour='outside')).digest)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == lettering_artwork(lettering).digest


def test_long_words_are_cut_in_the_name_only() -> None:
    art = lettering_artwork(replace(PLAIN, text="HA " * 40))
    assert len(art.name) <= 60
    assert art.name.endswith("…")


def test_a_bent_line_stands_on_its_circle() -> None:
    """Thirty H over 90°: at mid height the width stays, so the radius is width over angle; a rainbow."""
    straight = lettering_outline(replace(PLAIN, text="H" * 30))
    left, top, right, bottom = straight.bounds
    radius = (right - left) / (math.pi / 2)
    bent = lettering_outline(replace(PLAIN, text="H" * 30, bend_deg=90.0))
    centre = ((left + right) / 2, (top + bottom) / 2 + radius)
    away = np.hypot(*(shapely.get_coordinates(bent) - centre).T)
    assert away.min() == pytest.approx(radius - 35.0, abs=0.05)
    assert away.max() == pytest.approx(radius + 35.0, abs=0.05)
    bowl = lettering_outline(replace(PLAIN, text="H" * 30, bend_deg=-90.0))
    mirrored = shapely.transform(bent, lambda xy: xy * (1, -1) + (0, top + bottom))
    assert bowl.symmetric_difference(mirrored).area < 1e-3 * bowl.area


def test_a_bend_keeps_the_area_of_what_lies_about_the_middle() -> None:
    """Equal strips above and below the middle grow and shrink by the same: the sum stays."""
    for bend in (30.0, -120.0):
        bent = lettering_outline(replace(PLAIN, text="HHHHHH", bend_deg=bend))
        assert bent.area == pytest.approx(6 * 40.0 * 70.0, rel=1e-3)


def test_a_bend_too_tight_for_the_words_says_the_most() -> None:
    """Ink 40 wide, 70 high: the radius must be 35 + 17.5 mm, which 40 mm span in 43.6°."""
    with pytest.raises(LetteringError, match="the most is 43°"):
        lettering_outline(replace(PLAIN, bend_deg=60.0))
    lettering_outline(replace(PLAIN, bend_deg=43.0))


def test_the_bundled_font_needs_no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    from layout_core.art import fonts

    monkeypatch.setattr(fonts, "find_fonts", lambda *_: pytest.fail("looked through the computer"))
    assert face_named("Fredoka One").is_bundled


@given(
    st.text(st.sampled_from("HAVfix אב12()"), min_size=1, max_size=12),
    st.sampled_from([0.0, 25.0, -15.0]),
    st.sampled_from([0.0, 60.0, -120.0]),
)
@settings(max_examples=40)
def test_whatever_is_typed_becomes_sound_shapes_or_is_refused(
    text: str, bend: float, tracking: float
) -> None:
    lettering = replace(PLAIN, text=text, bend_deg=bend, tracking=tracking, cap_height_mm=20.0)
    try:
        art = lettering_artwork(lettering)
    except LetteringError:
        return
    assert art.outline.is_valid
    assert art.outline.area > 0
    assert art.outline.bounds[:2] == (0.0, 0.0)
