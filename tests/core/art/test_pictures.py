"""PNG and JPEG: which pixels are ink, at what size, and how exactly the edge is found.

Pixel values by the rules of ISO/IEC 15948 (PNG): sample scaling 13.12, transparent grey 11.3.2.1.
"""

import io
import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageOps

from layout_core.art import trace
from layout_core.art.raster import read_picture
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.trace import traced
from layout_core.units import MM_PER_IN
from tests.hostile.pictures import grey_png

PX_MM = MM_PER_IN / 300.0


def encoded(image: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    stream = io.BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def block(mode: str, ground: object, ink: object) -> Image.Image:
    """60 x 40 px of ground with 30 x 20 px of ink, its corner at (10, 5)."""
    image = Image.new(mode, (60, 40), ground)  # type: ignore[arg-type]
    image.paste(ink, (10, 5, 40, 25))  # type: ignore[arg-type]
    return image


def check_block(data: bytes, kind: str = "png") -> None:
    """The block is found to the pixel, less the cut corners of half-coverage contours (1/8 px^2 each)."""
    converted = read_picture(data, "png" if kind == "png" else "jpg")
    assert converted.ink_width_px == pytest.approx(30, abs=0.2)
    assert converted.outline.area / PX_MM**2 == pytest.approx(600, abs=2.0)
    assert shapely.get_num_geometries(converted.outline) == 1


@pytest.mark.parametrize(
    "image",
    [
        block("RGBA", (0, 0, 0, 0), (255, 255, 255, 255)),
        block("RGBA", (9, 9, 9, 0), (0, 0, 0, 255)),
        block("LA", (0, 0), (0, 255)),
        block("L", 255, 0),
        block("L", 0, 255),
        block("1", 1, 0),
        block("RGB", (255, 255, 255), (255, 230, 0)),
        block("RGB", (20, 20, 20), (90, 255, 120)),
        block("RGB", (255, 255, 255), (0, 0, 0)).quantize(4),
    ],
    ids=["white on clear", "black on clear", "grey with alpha", "black on white", "white on black", "one bit",
         "yellow on white", "green on black", "palette"],
)  # fmt: skip
def test_ink_is_what_is_opaque_or_unlike_the_border(image: Image.Image) -> None:
    check_block(encoded(image))


def test_jpeg_ink_is_what_is_unlike_the_border() -> None:
    check_block(encoded(block("RGB", (255, 255, 255), (200, 0, 0)), "JPEG", quality=95, subsampling=0), "jpg")


def test_four_ink_jpeg_is_read_in_its_own_colours() -> None:
    check_block(encoded(block("CMYK", (0, 0, 0, 0), (0, 0, 0, 255)), "JPEG", quality=95), "jpg")


@pytest.mark.parametrize("depth", [1, 2, 4, 8, 16])
def test_grey_of_any_depth_keeps_its_edge(depth: int) -> None:
    """Full and no light stay 255 and 0 at every depth; Pillow alone clips 16-bit samples to 8 bits."""
    white = (1 << depth) - 1
    samples = [[0 if 10 <= x < 40 and 5 <= y < 25 else white for x in range(60)] for y in range(40)]
    check_block(grey_png(samples, depth))


def test_sixteen_bit_grey_is_scaled_not_cut() -> None:
    """A ground of 0x4000 and ink of 0xC000, a quarter and three quarters: cut to 8 bits both were white."""
    samples = [[0xC000 if 10 <= x < 40 and 5 <= y < 25 else 0x4000 for x in range(60)] for y in range(40)]
    check_block(grey_png(samples, 16))


@pytest.mark.parametrize(("depth", "key"), [(1, 1), (2, 2), (4, 6), (8, 77), (16, 0x1234)])
def test_transparent_grey_is_compared_at_the_depth_of_the_file(depth: int, key: int) -> None:
    """Everything of the key's grey is clear, and only that; the ink has the next grey below it."""
    samples = [[key - 1 if 10 <= x < 40 and 5 <= y < 25 else key for x in range(60)] for y in range(40)]
    check_block(grey_png(samples, depth, key=key))


def test_stated_resolution_makes_the_size_known() -> None:
    image = block("L", 255, 0)
    stated = read_picture(encoded(image, dpi=(150, 150)), "png")
    assert stated.size_known
    assert stated.outline.bounds[2] - stated.outline.bounds[0] == pytest.approx(30 / 150 * 25.4, rel=1e-3)
    bare = read_picture(encoded(image), "png")
    assert not bare.size_known
    assert bare.outline.bounds[2] - bare.outline.bounds[0] == pytest.approx(30 / 300 * 25.4, rel=1e-3)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_camera_orientation_is_applied(orientation: int) -> None:
    """Pillow's own transposition is the oracle. Source: EXIF 2.3 (JEITA CP-3451C), tag 0x0112."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    data = encoded(block("L", 255, 0), "PNG", exif=exif)
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    where = np.argwhere(np.asarray(upright) == 0)
    x0, y0, x1, y1 = (side / PX_MM for side in read_picture(data, "png").outline.bounds)
    (top, left), (bottom, right) = where.min(axis=0), where.max(axis=0) + 1
    assert (x0, y0, x1, y1) == pytest.approx((left, top, right, bottom), abs=0.01)


def test_sideways_camera_picture_is_turned() -> None:
    """Orientation 6: the first row is the right side. Source: EXIF 2.3 (JEITA CP-3451C), tag 0x0112."""
    image = block("L", 255, 0)
    exif = Image.Exif()
    exif[0x0112] = 6
    converted = read_picture(encoded(image, "JPEG", quality=95, exif=exif), "jpg")
    x0, y0, x1, y1 = (side / PX_MM for side in converted.outline.bounds)
    assert (x1 - x0, y1 - y0) == pytest.approx((20, 30), abs=0.5)
    assert (x0, y0) == pytest.approx((40 - 25, 10), abs=0.5)


def test_blank_and_clear_pictures_are_refused() -> None:
    with pytest.raises(Refused, match="blank"):
        read_picture(encoded(Image.new("L", (20, 20), 200)), "png")
    with pytest.raises(Refused, match="nothing in it that prints"):
        read_picture(encoded(Image.new("RGBA", (20, 20), (0, 0, 0, 0))), "png")


def test_a_picture_of_noise_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layout_core.art.caps.VERTICES", 5_000)
    noise = np.random.default_rng(3).integers(0, 256, (200, 200), dtype=np.uint8)
    with pytest.raises(OverLimit, match="fine detail"):
        read_picture(encoded(Image.fromarray(noise)), "png")


def test_pixel_limit_holds_at_its_edge(monkeypatch: pytest.MonkeyPatch) -> None:
    data = encoded(block("L", 255, 0))
    for limit, is_refused in ((2399, True), (2400, False), (2401, False)):
        monkeypatch.setattr("layout_core.art.caps.PIXELS", limit)
        if is_refused:
            with pytest.raises(OverLimit, match="megapixels"):
                read_picture(data, "png")
        else:
            check_block(data)


def soft_disc(radius_px: float, side: int, finer: int = 8) -> NDArray[np.uint8]:
    """Exact-to-1/64 coverage of a disc in the middle of a square picture."""
    steps = (np.arange(side * finer) + 0.5) / finer - side / 2
    inside = steps[:, None] ** 2 + steps[None, :] ** 2 < radius_px**2
    share = inside.reshape(side, finer, side, finer).mean(axis=(1, 3))
    return np.asarray((share * 255).round(), dtype=np.uint8)


def test_soft_edge_is_found_to_a_fraction_of_a_pixel() -> None:
    """A disc of 1 in radius at 300 px/in: no edge is more than 0.0008 in off, the area right to 0.1 %.

    Bounds measured when this way of tracing was chosen: 0.0007 in and 0.01 %.
    """
    shape, _ = traced(soft_disc(300, 640))
    corners = shapely.get_coordinates(shape) - 320
    off_in = np.abs(np.hypot(corners[:, 0], corners[:, 1]) - 300) / 300
    assert off_in.max() < 0.0008
    assert shape.area == pytest.approx(math.pi * 300**2, rel=1e-3)
    assert shape.is_valid


def test_bands_leave_no_seam(monkeypatch: pytest.MonkeyPatch) -> None:
    image = Image.new("L", (300, 300))
    ImageDraw.Draw(image).ellipse((20, 20, 280, 280), outline=255, width=40)
    alpha = np.asarray(image)
    whole, _ = traced(alpha)
    monkeypatch.setattr(trace, "_BAND_SAMPLES", 302 * 7)
    banded, _ = traced(alpha)
    assert shapely.get_num_geometries(banded) == 1
    assert shapely.get_num_interior_rings(shapely.get_geometry(banded, 0)) == 1
    assert banded.symmetric_difference(whole).area < 0.001 * whole.area


def test_dots_smaller_than_a_pixel_are_dropped_and_counted() -> None:
    alpha = np.zeros((40, 40), dtype=np.uint8)
    alpha[5:25, 5:25] = 255
    alpha[30, 30] = 140
    shape, specks = traced(alpha)
    assert specks == 1
    assert shapely.get_num_geometries(shape) == 1
