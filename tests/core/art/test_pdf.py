"""PDF pages: exact shapes where they prove right, a traced rendering elsewhere, one sentence for the rest.

Areas are plain geometry in points on pages of 100 x 100; operators after ISO 32000-1 sections 8.4 and 8.5.
"""

import io
import math

import pytest
from PIL import Image
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from layout_core.art.converted import Converted
from layout_core.art.ink_map import InkMap, Swatch
from layout_core.art.ink_route import Asked
from layout_core.art.pdf_route import read_pdf
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.sniff import kind_of
from tests.core.art.pdf_files import pdf

PT_MM = 25.4 / 72.0


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layout_core.art.verify._LEAST_PX", 500.0)
    monkeypatch.setattr("layout_core.art.ink_route._RENDER_PX", 1000.0)


def area(converted: Converted) -> float:
    return float(converted.outline.area) / PT_MM**2


_K = 4 / 3 * (math.sqrt(2) - 1) * 30
_CIRCLE = (
    f"80 50 m 80 {50 + _K} {50 + _K} 80 50 80 c {50 - _K} 80 20 {50 + _K} 20 50 c "
    f"20 {50 - _K} {50 - _K} 20 50 20 c {50 + _K} 20 80 {50 - _K} 80 50 c h"
)
_RINGS = "10 10 80 80 re 30 30 40 40 re"

CASES: dict[str, tuple[str, float]] = {
    "rectangle": ("10 20 40 30 re f", 1200),
    "circle of four curves": (f"{_CIRCLE} f", math.pi * 900),
    "nested rings nonzero": (f"{_RINGS} f", 6400),
    "nested rings even-odd": (f"{_RINGS} f*", 4800),
    # x' = 180 t - 90 t^2 and y = 180 (t^2 - t^3) above the chord: 16200 (1/2 - 3/5 + 1/6)
    "curve that starts at its first control point": ("10 10 m 40 70 70 10 v h f", 1080),
    "butt caps": ("10 w 20 50 m 80 50 l S", 600),
    "square caps": ("10 w 2 J 20 50 m 80 50 l S", 700),
    "round caps": ("10 w 1 J 20 50 m 80 50 l S", 600 + math.pi * 25),
    "miter corner": ("10 w 20 20 m 20 80 l 80 80 l S", 1200),
    "bevel corner": ("10 w 2 j 20 20 m 20 80 l 80 80 l S", 1187.5),
    "closed stroke": ("10 w 20 20 m 20 80 l 80 80 l 80 20 l s", 70**2 - 50**2),
    "fill and stroke": ("10 w 20 20 60 60 re B", 4900),
    "dashes": ("4 w [10 5] 0 d 10 50 m 85 50 l S", 200),
    "dashes with a phase": ("3 w [10 10] 5 d 10 50 m 90 50 l S", 120),
    "stroke under a stretch": ("q 3 0 0 1 0 0 cm 2 w 5 20 m 5 80 l S Q", 360),
    "clip": ("q 20 20 20 20 re W n 0 0 100 100 re f Q", 400),
    "two clips": ("q 20 20 20 20 re W n 30 30 50 50 re W n 0 0 100 100 re f Q", 100),
    "clip under a turn": ("q 0 1 -1 0 100 0 cm 20 20 30 10 re W n 0 0 100 100 re f Q", 300),
    "even-odd clip": (f"q {_RINGS} W* n 0 0 100 100 re f Q", 4800),
    "beyond the page": ("50 50 100 100 re f", 2500),
    "nothing painted": ("0 0 90 90 re n 10 10 20 20 re f", 400),
    "four-ink black": ("0 0 0 1 k 10 10 20 20 re f", 400),
    "grey": (".5 g 10 10 20 20 re f", 400),
}


@pytest.mark.parametrize("name", CASES)
def test_ink_has_the_area_worked_out_by_hand(name: str) -> None:
    content, expected = CASES[name]
    converted = read_pdf(pdf(content))
    assert area(converted) == pytest.approx(expected, rel=0.004, abs=0.2)
    assert converted.outline.is_valid
    assert converted.size_known


def test_most_pages_need_no_rendering() -> None:
    routes = {name: read_pdf(pdf(content)).route for name, (content, _) in CASES.items()}
    assert {name for name, route in routes.items() if route != "vector"} == {"even-odd clip"}


def test_form_is_moved_by_both_its_maps_and_cut_at_its_box() -> None:
    forms = {"F": ("/BBox [0 0 30 30] /Matrix [1 0 0 1 5 5]", "0 0 50 50 re f")}
    converted = read_pdf(pdf("q 2 0 0 2 10 0 cm /F Do Q", forms=forms))
    assert converted.route == "vector"
    assert area(converted) == pytest.approx(3600)
    assert [side / PT_MM for side in converted.outline.bounds] == pytest.approx([20, 30, 80, 90], abs=1e-3)


@pytest.mark.parametrize(
    ("turn", "corner"), [(0, (10, 50)), (90, (20, 10)), (180, (30, 20)), (270, (50, 30))]
)
def test_page_is_turned_as_it_is_shown(turn: int, corner: tuple[float, float]) -> None:
    """60 x 40 at (10, 20) from the bottom left of 100 x 110; the corner is the shown one."""
    converted = read_pdf(pdf("10 20 60 40 re f", media="0 0 100 110", page=f"/Rotate {turn}"))
    x0, y0, x1, y1 = (side / PT_MM for side in converted.outline.bounds)
    assert (x0, y0) == pytest.approx(corner, abs=1e-3)
    assert (x1 - x0, y1 - y0) == pytest.approx((60, 40) if turn % 180 == 0 else (40, 60), abs=1e-3)
    assert converted.route == "vector"


def test_page_is_what_its_crop_box_shows() -> None:
    converted = read_pdf(
        pdf("0 0 100 100 re f 200 0 m", media="-10 -10 110 110", page="/CropBox [20 30 60 90]")
    )
    assert area(converted) == pytest.approx(2400)
    assert [side / PT_MM for side in converted.outline.bounds] == pytest.approx([0, 0, 40, 60], abs=1e-3)


def test_later_paint_knocks_out_earlier_ink() -> None:
    content = "0 g 10 10 60 60 re f 1 g 20 20 20 20 re f 1 0 0 rg 30 30 5 5 re f"
    converted = read_pdf(pdf(content))
    assert converted.route == "vector"
    assert area(converted) == pytest.approx(3600 - 400 + 25)
    assert {s.colour: s.prints for s in converted.ink_map.swatches} == {
        "#000000": True, "#ffffff": False, "#ff0000": True,
    }  # fmt: skip
    swapped = InkMap((Swatch("#000000", 0, False), Swatch("#ffffff", 0, True), Swatch("#ff0000", 0, False)))
    other = read_pdf(pdf(content), asked=Asked(swapped))
    assert other.route == "vector"
    assert area(other) == pytest.approx(375)


def test_knock_out_inside_a_form_is_checked_in_black_and_white() -> None:
    forms = {"F": ("/BBox [0 0 100 100]", "0 0 1 rg 10 10 60 60 re f 1 g 20 20 20 20 re f")}
    converted = read_pdf(pdf("/F Do", forms=forms))
    assert converted.route == "vector"
    assert area(converted) == pytest.approx(3200)


def test_see_through_paint_prints_from_the_threshold_on() -> None:
    content = "0 0 50 50 re f /A gs 50 50 20 20 re f"
    data = pdf(content, resources="/ExtGState << /A << /ca .4 >> >>")
    assert area(read_pdf(data)) == pytest.approx(2500, rel=1e-3)
    low = Asked(InkMap((Swatch("#000000", 1.0, True),), 0.3))
    assert area(read_pdf(data, asked=low)) == pytest.approx(2900, rel=1e-3)


def test_pattern_and_gradient_are_traced() -> None:
    shading = (
        "/Shading << /S << /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 100 0] "
        "/Function << /FunctionType 2 /Domain [0 1] /C0 [0 0 0] /C1 [0 0 .2] /N 1 >> >> >> "
        "/Pattern << /P << /PatternType 2 /Shading << /ShadingType 2 /ColorSpace /DeviceRGB "
        "/Coords [0 0 100 0] /Function << /FunctionType 2 /Domain [0 1] /C0 [0 0 0] /C1 [0 0 .2] /N 1 >> "
        ">> >> >>"
    )
    for content in ("q 20 20 40 40 re W n /S sh Q", "/Pattern cs /P scn 20 20 40 40 re f"):
        converted = read_pdf(pdf(content, resources=shading))
        assert converted.route == "raster"
        assert area(converted) == pytest.approx(1600, rel=5e-3)


def made(
    pages: int = 1, *, text: str = "", image: bool = False, encryption: StandardEncryption | None = None
) -> bytes:
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(144, 72), encrypt=encryption, invariant=1)
    for _ in range(pages):
        if text:
            canvas.setFont("Helvetica-Bold", 40)
            canvas.drawString(10, 20, text)
        elif image:
            canvas.drawInlineImage(Image.new("RGB", (20, 20), (0, 0, 0)), 10, 10, 36, 36)
        else:
            canvas.rect(10, 10, 36, 36, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def test_another_writer_is_read_at_true_size() -> None:
    converted = read_pdf(made())
    assert converted.route == "vector"
    assert converted.outline.bounds == pytest.approx(
        [10 * PT_MM, 26 * PT_MM, 46 * PT_MM, 62 * PT_MM], abs=1e-3
    )


def test_text_and_pictures_are_traced_and_noted() -> None:
    text = read_pdf(made(text="Moth"))
    assert text.route == "raster"
    assert "Holds text" in " ".join(text.notes)
    assert text.outline.area > 200 * PT_MM**2
    picture = read_pdf(made(image=True))
    assert area(picture) == pytest.approx(36 * 36, rel=0.01)
    assert "Holds a picture" in " ".join(picture.notes)


def test_first_of_several_pages_is_used_and_noted() -> None:
    assert "Has 3 pages; the first is used." in read_pdf(made(3)).notes
    assert not [note for note in read_pdf(made(1)).notes if "pages" in note]


def test_lines_without_width_are_left_out_and_noted() -> None:
    converted = read_pdf(pdf("10 10 20 20 re f 0 w 50 50 m 90 90 l S"))
    assert area(converted) == pytest.approx(400)
    assert "Lines without a width" in " ".join(converted.notes)


def test_pdf_is_told_by_its_content() -> None:
    assert kind_of(made()) == "pdf"
    assert kind_of(b"\xef\xbb\xbf" + b"%PDF-1.4 ...") == "pdf"
    with pytest.raises(Refused, match=r"PostScript \(EPS\); save it as PDF or SVG"):
        kind_of(b"%!PS-Adobe-3.0 EPSF-3.0")
    with pytest.raises(Refused, match="PostScript"):
        kind_of(b"\xc5\xd0\xd3\xc6\x20\x00\x00\x00")


def test_locked_damaged_and_blank_files_are_refused() -> None:
    with pytest.raises(Refused, match="locked with a password"):
        read_pdf(made(encryption=StandardEncryption("secret", canPrint=0)))
    with pytest.raises(Refused, match="damaged PDF"):
        read_pdf(b"%PDF-1.7")
    with pytest.raises(Refused, match="damaged PDF"):
        read_pdf(made()[:200])
    with pytest.raises(Refused, match="nothing in it that prints"):
        read_pdf(pdf(""))
    with pytest.raises(Refused, match="damaged PDF"):
        read_pdf(pdf("", pages=0))


def test_numbers_and_sizes_beyond_the_limits_are_refused() -> None:
    with pytest.raises(OverLimit):
        read_pdf(pdf("0 0 9999999 9999999 re f"))
    with pytest.raises(OverLimit):
        read_pdf(pdf("1 0 0 1 0 0 cm 0 0 5 5 re f", media="0 0 900000 900000"))
    with pytest.raises(OverLimit, match="dashes"):
        read_pdf(pdf("1 w [.001 .001] 0 d 10 50 m 90 50 l S"))


def test_a_form_that_draws_itself_is_refused() -> None:
    forms = {"F": ("/BBox [0 0 100 100] /Resources << /XObject << /F 4 0 R >> >>", "10 10 20 20 re f /F Do")}
    with pytest.raises(OverLimit, match="nests its forms"):
        read_pdf(pdf("/F Do", forms=forms))
