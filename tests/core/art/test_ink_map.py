"""Which colours print: what is proposed, what a person chooses, and what then stands on the film.

Areas are plain geometry on pages of 100 x 100 user units; whole drawings are judged by the reference
renderer, which draws them with black for what prints and white for what does not.
"""

import io
import math

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw
from shapely.geometry.base import BaseGeometry

from layout_core.art import ink_route, verify
from layout_core.art.converted import Converted
from layout_core.art.ink_layers import inked
from layout_core.art.ink_map import (
    MOST_SWATCHES,
    InkChoice,
    InkMap,
    Swatch,
    checked_ink_map,
    grouped,
    with_prints,
)
from layout_core.art.ink_route import Asked
from layout_core.art.raster import read_picture
from layout_core.art.refusal import Refused
from layout_core.art.render import Reference, picture
from layout_core.art.svg_route import read_svg
from layout_core.art.verify import as_reference, core, darkness
from layout_core.art.viewport import MM_PER_PX
from layout_core.errors import InkMapError

PX_MM = 25.4 / 300.0


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(verify, "_LEAST_PX", 500.0)
    monkeypatch.setattr(ink_route, "_RENDER_PX", 800.0)


def drawing(body: str) -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{body}</svg>'.encode()


def read(body: str, choice: InkChoice = "sensible") -> Converted:
    return read_svg(drawing(body), asked=Asked(choice))


def area(converted: Converted) -> float:
    return float(converted.outline.area) / MM_PER_PX**2


def prints(converted: Converted) -> dict[str, bool]:
    return {swatch.colour: swatch.prints for swatch in converted.ink_map.swatches}


def chosen(**colours: bool) -> InkMap:
    """A person's map; colours are given as _ffffff=True."""
    return InkMap(tuple(Swatch(f"#{name[1:]}", 0.0, value) for name, value in colours.items()))


def rect(x: float, y: float, width: float, height: float, fill: str, more: str = "") -> str:
    return f'<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{fill}" {more}/>'


PAGE = rect(0, 0, 100, 100, "#ffffff")
BADGE = 10_000 - (4 - math.pi) * 81 - 400
"""A square of 100 with corners of radius 9, less a square of 20."""
GHOST = rect(10, 10, 60, 60, "#ffffff") + rect(20, 20, 8, 8, "#000000") + rect(40, 20, 8, 8, "#000000")
NIGHT = rect(0, 0, 100, 100, "#101020")


@pytest.mark.parametrize(
    ("body", "ink"),
    [
        (rect(10, 10, 40, 40, "#ffffff"), 1600),
        (PAGE, 10_000),
        (PAGE + rect(10, 10, 40, 40, "#000000"), 1600),
        (NIGHT + rect(10, 10, 40, 40, "#ffffff"), 1600),
        (NIGHT + rect(10, 10, 40, 40, "#ffffff") + rect(20, 20, 10, 10, "#101020"), 1500),
        (PAGE + rect(10, 10, 40, 40, "#000000") + rect(20, 20, 10, 10, "#ffffff"), 1500),
        (PAGE + rect(10, 10, 40, 40, "#ffcc00") + rect(20, 20, 10, 10, "#000000"), 1600),
        (rect(10, 10, 40, 40, "#000000") + rect(20, 20, 10, 10, "#ffffff"), 1500),
        (rect(20, 20, 10, 10, "#ffffff") + rect(10, 10, 40, 40, "#000000"), 1600),
        (rect(10, 10, 40, 40, "#ffffff", 'stroke="#000000" stroke-width="4"'), 44**2 - 36**2),
        (rect(10, 10, 40, 40, "#ffcc00") + rect(60, 60, 10, 10, "#ffffff"), 1700),
        (GHOST, 60 * 60 - 2 * 64),
        (GHOST + rect(80, 0, 10, 10, "#ffcc00"), 60 * 60 - 2 * 64 + 100),
        (rect(0, 0, 40, 40, "#000000") + rect(30, 30, 60, 60, "#ffffff"), 1600 + 3600 - 100),
        (rect(10, 10, 80, 80, "#ffffff") + rect(15, 15, 70, 70, "#c03020"), 4900),
        (rect(10, 10, 60, 60, "#000000") + rect(20, 20, 60, 60, "#ffffff") + rect(30, 30, 60, 60, "#000000"),
         1100 + 3600),
        (rect(10, 10, 40, 40, "#ffcc00") + rect(20, 20, 10, 10, "#0000ff"), 1600),
        (rect(0, 0, 100, 100, "#000000", 'rx="9"') + rect(30, 30, 20, 20, "#ffffff"), BADGE),
    ],
    ids=[
        "white alone prints", "one colour over the page prints", "white page", "dark page, white on it",
        "hole in the dark page's colour", "hole in the white page's colour", "two colours on a white page",
        "white on black", "white under black", "white with a dark outline", "white that stands free",
        "the eyes of a white figure", "what stands beside a white figure", "white that overlaps a corner",
        "a picture on a white sticker", "white between two others",
        "two colours", "badge",
    ],
)  # fmt: skip
def test_sensible_default(body: str, ink: float) -> None:
    converted = read(body)
    assert area(converted) == pytest.approx(ink, rel=1e-4)
    assert converted.route == "vector"
    assert converted.outline.is_valid


LAYERED = rect(0, 0, 60, 60, "#000000") + rect(20, 20, 60, 60, "#ffcc00") + rect(30, 30, 10, 10, "#000000")


@pytest.mark.parametrize(
    ("black", "yellow", "ink"),
    [(True, True, 3600 + 3600 - 1600), (True, False, 2000 + 100), (False, True, 3500)],
)
def test_a_later_paint_that_is_knocked_out_takes_ink_away(black: bool, yellow: bool, ink: float) -> None:
    converted = read(LAYERED, chosen(_000000=black, _ffcc00=yellow))
    assert area(converted) == pytest.approx(ink, rel=1e-4)
    assert prints(converted) == {"#000000": black, "#ffcc00": yellow}


def test_shares_are_of_what_is_seen() -> None:
    swatches = {swatch.colour: swatch.area_share for swatch in read(LAYERED).ink_map.swatches}
    assert swatches == pytest.approx({"#ffcc00": 3500 / 5600, "#000000": 2100 / 5600})


def test_everything_is_ink_when_asked() -> None:
    assert area(read(PAGE + rect(10, 10, 40, 40, "#000000"), "everything")) == pytest.approx(10_000)


def test_a_map_of_other_colours_holds_for_the_nearest() -> None:
    converted = read(LAYERED, chosen(_101010=False, _f0c010=True))
    assert prints(converted) == {"#000000": False, "#ffcc00": True}


def test_nothing_printing_is_refused() -> None:
    with pytest.raises(Refused, match="nothing in it that prints: every colour of it is knocked out"):
        read(LAYERED, chosen(_000000=False))


def test_art_that_is_too_faint_is_refused_as_that() -> None:
    with pytest.raises(Refused, match="nothing in it that prints: its paint covers less than 50%"):
        read(rect(10, 10, 60, 60, "#000000", 'fill-opacity=".3"'))


def test_threshold_decides_what_see_through_paint_does() -> None:
    body = rect(0, 0, 50, 50, "#000000") + rect(50, 50, 20, 20, "#000000", 'fill-opacity=".4"')
    assert area(read(body)) == pytest.approx(2500)
    low = InkMap((Swatch("#000000", 1.0, True),), 0.3)
    assert area(read(body, low)) == pytest.approx(2900)
    assert "cannot print half a tone" in " ".join(read(body).notes)


def test_layers_are_apart_and_join_to_what_the_reader_gives() -> None:
    data = drawing(LAYERED + '<circle cx="70" cy="30" r="20" fill="#0033cc"/>')
    layers = read_svg(data, asked=Asked(wants_layers=True)).layers
    assert layers is not None
    for index, shape in enumerate(layers.shapes):
        for other in layers.shapes[index + 1 :]:
            assert shape.intersection(other).area < 1e-9
    for swatch in layers.ink_map.swatches:
        ink_map = with_prints(layers.ink_map, swatch.colour, not swatch.prints)
        again = read_svg(data, asked=Asked(ink_map))
        preview = inked(layers, ink_map)
        assert preview.is_valid
        assert preview.symmetric_difference(again.outline).area < 1e-6 * again.outline.area


def _rendered_ink(svg: str, ours: BaseGeometry) -> int:
    """How many samples at the heart of a difference to a drawing in black and white, drawn by resvg."""
    reference = Reference(svg, 100.0, 100.0)
    box = (0.0, 0.0, 100.0, 100.0)
    shapes = shapely.transform(ours, lambda xy: xy / MM_PER_PX)
    return core(
        darkness(picture(reference, box, 10.0)), picture(as_reference(shapes, reference), box, 10.0)[..., 3]
    )


@pytest.mark.parametrize("seed", range(6))
def test_ink_of_random_stacks_is_what_a_renderer_shows(seed: int) -> None:
    """Independent of how the program works it out: the drawing is written in black and white by the test."""
    rng = np.random.default_rng(seed)
    palette = {"#000000": True, "#ffcc00": False, "#0033cc": True, "#cc0044": False}
    parts = []
    for _ in range(25):
        x, y, size = *rng.uniform(0, 80, 2), rng.uniform(5, 40)
        fill, stroke = rng.choice(list(palette), 2)
        parts.append(
            f'<g transform="rotate({rng.uniform(0, 90):.2f} {x:.2f} {y:.2f})" stroke-width="3">'
            f'<rect x="{x:.2f}" y="{y:.2f}" '
            f'width="{size:.2f}" height="{size:.2f}" rx="3" fill="{fill}" stroke="{stroke}"/></g>'
        )
    body = "".join(parts)
    converted = read(body, InkMap(tuple(Swatch(colour, 0.0, p) for colour, p in palette.items())))
    assert converted.route == "vector"
    black_and_white = body
    for colour, printing in palette.items():
        black_and_white = black_and_white.replace(colour, "black" if printing else "white")
    assert _rendered_ink(f'<svg width="100" height="100">{black_and_white}</svg>', converted.outline) == 0


def test_colours_by_class_gradient_and_inheritance_have_their_swatches() -> None:
    body = (
        "<style>.a{fill:#0033cc}</style>"
        '<linearGradient id="g"><stop stop-color="#ff0000"/><stop offset="1" stop-color="#800000"/>'
        "</linearGradient>"
        '<rect class="a" width="40" height="40"/>'
        '<g fill="#ffcc00" color="#00aa44"><rect x="50" width="40" height="40"/>'
        '<rect y="50" width="40" height="40" style="fill:currentColor"/></g>'
        '<rect x="50" y="50" width="40" height="40" fill="url(#g)"/>'
    )
    colours = set(prints(read(body)))
    assert colours == {"#0033cc", "#ffcc00", "#00aa44", "#c00000"}
    only = chosen(_0033cc=False, _ffcc00=True, _00aa44=False, _c00000=False)
    converted = read(body, only)
    assert converted.route == "vector"
    assert area(converted) == pytest.approx(1600)


def test_a_knocked_out_drawing_that_only_a_rendering_can_tell() -> None:
    """A pattern is no flat paint; traced, the black square keeps its area to half a percent."""
    body = (
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse">'
        '<rect width="20" height="20" fill="#ffcc00"/></pattern>'
        '<rect width="80" height="40" fill="url(#p)"/>' + rect(10, 10, 20, 20, "#000000")
    )
    converted = read(body, chosen(_ffcc00=False, _000000=True))
    assert converted.route == "raster"
    assert area(converted) == pytest.approx(400, rel=5e-3)


def test_alike_paints_share_a_swatch_and_there_are_at_most_twelve() -> None:
    grey = [(n, n, n) for n in range(0, 256, 3)]
    seeds, members = grouped(grey, [1.0] * len(grey), 4.0)
    assert len(seeds) == MOST_SWATCHES
    assert len(members) == len(grey)
    seeds, members = grouped([(0, 0, 0), (1, 1, 1), (255, 0, 0)], [1.0, 5.0, 2.0], 4.0)
    assert seeds == ((1, 1, 1), (255, 0, 0))
    assert members == [0, 0, 1]


@pytest.mark.parametrize(
    ("ink_map", "words"),
    [
        (InkMap(()), "1 to 12 colours"),
        (InkMap(tuple(Swatch(f"#{n:06x}", 0.0, True) for n in range(13))), "1 to 12 colours"),
        (InkMap((Swatch("red", 0.0, True),)), "no colour"),
        (InkMap((Swatch("#FF0000", 0.0, True),)), "no colour"),
        (InkMap((Swatch("#ff0000", 1.5, True),)), "from 0 to 1"),
        (InkMap((Swatch("#ff0000", float("nan"), True),)), "from 0 to 1"),
        (InkMap((Swatch("#ff0000", 0.5, True), Swatch("#ff0000", 0.5, True))), "twice"),
        (InkMap((Swatch("#ff0000", 1.0, True),), 0.0), "threshold"),
        (InkMap((Swatch("#ff0000", 1.0, False),)), "nothing of the art"),
    ],
)
def test_maps_that_no_art_could_have_are_refused(ink_map: InkMap, words: str) -> None:
    with pytest.raises(InkMapError, match=words):
        checked_ink_map(ink_map)


def test_only_a_colour_of_the_art_can_be_changed() -> None:
    ink_map = InkMap((Swatch("#000000", 0.6, True), Swatch("#ffcc00", 0.4, True)))
    assert with_prints(ink_map, "#ffcc00", False).swatches[1].prints is False
    with pytest.raises(InkMapError, match="it has #000000, #ffcc00"):
        with_prints(ink_map, "#123456", False)


# Pictures


def smooth(mode: str, ground: object) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    """A picture drawn at four times its size of 300 x 300, to be made smaller."""
    image = Image.new(mode, (1200, 1200), ground)  # type: ignore[arg-type]
    return image, ImageDraw.Draw(image)


def encoded(image: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    stream = io.BytesIO()
    image.resize((300, 300), Image.Resampling.BOX).save(stream, kind, **options)
    return stream.getvalue()


def three_colours() -> bytes:
    """A red disc of 100 px radius with a blue one of 50 in it, and a white square of 40 in that, on clear."""
    image, draw = smooth("RGBA", (0, 0, 0, 0))
    draw.ellipse((200, 200, 999, 999), fill=(200, 0, 30, 255))
    draw.ellipse((400, 400, 799, 799), fill=(0, 40, 200, 255))
    draw.rectangle((520, 520, 679, 679), fill=(255, 255, 255, 255))
    return encoded(image)


RED, BLUE, WHITE = math.pi * (100**2 - 50**2), math.pi * 50**2 - 1600, 1600.0


def test_flat_colours_of_a_smooth_picture_are_found_with_their_shares() -> None:
    converted = read_picture(three_colours(), "png")
    shares = {swatch.colour: swatch.area_share for swatch in converted.ink_map.swatches}
    total = RED + BLUE + WHITE
    assert shares == pytest.approx(
        {"#c8001e": RED / total, "#0028c8": BLUE / total, "#ffffff": WHITE / total}, abs=0.006
    )
    assert prints(converted) == {"#c8001e": True, "#0028c8": True, "#ffffff": False}


@pytest.mark.parametrize(
    ("red", "blue", "white", "ink"),
    [(True, True, False, RED + BLUE), (True, False, False, RED), (False, True, False, BLUE),
     (False, False, True, WHITE), (True, False, True, RED + WHITE), (True, True, True, RED + BLUE + WHITE)],
)  # fmt: skip
def test_knocked_out_colours_of_a_picture_end_at_their_smooth_edge(
    red: bool, blue: bool, white: bool, ink: float
) -> None:
    """Within half a percent of the area worked out by hand: a tenth of a pixel along the edges."""
    choice = chosen(_c8001e=red, _0028c8=blue, _ffffff=white)
    converted = read_picture(three_colours(), "png", asked=Asked(choice))
    assert converted.outline.area / PX_MM**2 == pytest.approx(ink, rel=5e-3)
    assert converted.outline.is_valid


@pytest.mark.parametrize(
    ("marks", "fate"),
    [
        # eyes of a white figure
        ((((20, 20), (28, 28)), ((40, 20), (48, 28))), {"#ffffff": True, "#102040": False}),
        # a picture that covers most of a white sticker
        ((((15, 15), (65, 65)),), {"#ffffff": False, "#102040": True}),
        # a square beside the figure
        ((((75, 75), (95, 95)),), {"#ffffff": True, "#102040": True}),
    ],
)
def test_white_in_a_picture_is_paper_or_ink_by_where_it_lies(
    marks: tuple[tuple[tuple[int, int], tuple[int, int]], ...], fate: dict[str, bool]
) -> None:
    image, draw = smooth("RGBA", (0, 0, 0, 0))
    draw.rectangle((120, 120, 839, 839), fill=(255, 255, 255, 255))
    for corner, opposite in marks:
        box = (*(12 * at for at in corner), *(12 * at - 1 for at in opposite))
        draw.rectangle(box, fill=(16, 32, 64, 255))
    assert prints(read_picture(encoded(image), "png")) == fate


def test_layers_of_a_picture_preview_what_it_will_be() -> None:
    converted = read_picture(three_colours(), "png", asked=Asked(wants_layers=True))
    assert converted.layers is not None
    for colour in ("#c8001e", "#0028c8", "#ffffff"):
        ink_map = with_prints(converted.ink_map, colour, not prints(converted)[colour])
        preview = inked(converted.layers, ink_map)
        again = read_picture(three_colours(), "png", asked=Asked(ink_map))
        assert preview.is_valid
        assert preview.symmetric_difference(again.outline).area < 0.01 * again.outline.area


def test_border_colour_of_an_opaque_picture_is_knocked_out_wherever_it_is() -> None:
    image, draw = smooth("RGB", (20, 20, 60))
    draw.rectangle((200, 200, 999, 999), fill=(250, 250, 250))
    draw.rectangle((400, 400, 599, 599), fill=(20, 20, 60))
    converted = read_picture(encoded(image), "png")
    assert prints(converted) == {"#14143c": False, "#fafafa": True}
    assert converted.outline.area / PX_MM**2 == pytest.approx(200**2 - 50**2, rel=5e-3)


def test_an_opaque_picture_can_print_its_ground_instead() -> None:
    image, draw = smooth("RGB", (20, 20, 60))
    draw.rectangle((200, 200, 999, 999), fill=(250, 250, 250))
    converted = read_picture(encoded(image), "png", asked=Asked(chosen(_14143c=True, _fafafa=False)))
    assert converted.outline.area / PX_MM**2 == pytest.approx(300**2 - 200**2, rel=5e-3)


def test_jpeg_noise_makes_no_swatches() -> None:
    image, draw = smooth("RGB", (255, 255, 255))
    draw.ellipse((200, 200, 999, 999), fill=(200, 0, 30))
    draw.ellipse((400, 400, 799, 799), fill=(0, 40, 200))
    converted = read_picture(encoded(image, "JPEG", quality=80), "jpg")
    assert len(converted.ink_map.swatches) == 3
    assert [swatch.prints for swatch in converted.ink_map.swatches].count(False) == 1


def test_soft_shading_is_told_honestly() -> None:
    ramp = np.zeros((300, 300, 4), dtype=np.uint8)
    ramp[..., 3] = np.linspace(0, 255, 300).astype(np.uint8)
    stream = io.BytesIO()
    Image.fromarray(ramp).save(stream, "PNG")
    notes = " ".join(read_picture(stream.getvalue(), "png").notes)
    assert "Soft shading" in notes
    assert "cannot print half a tone" in notes
    assert "Soft shading" not in " ".join(read_picture(three_colours(), "png").notes)


@pytest.mark.parametrize(("threshold", "share"), [(0.25, 0.75), (0.5, 0.5), (0.75, 0.25)])
def test_threshold_moves_the_edge_of_soft_shading(threshold: float, share: float) -> None:
    ramp = np.zeros((300, 300, 4), dtype=np.uint8)
    ramp[..., 3] = np.linspace(0, 255, 300).astype(np.uint8)
    stream = io.BytesIO()
    Image.fromarray(ramp).save(stream, "PNG")
    ink_map = InkMap((Swatch("#000000", 1.0, True),), threshold)
    converted = read_picture(stream.getvalue(), "png", asked=Asked(ink_map))
    assert converted.outline.area / PX_MM**2 == pytest.approx(share * 300**2, abs=600)
