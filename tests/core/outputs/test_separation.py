"""The 1-bit plates: every pixel as its centre lies, chunks and tags as other programs read them.

Sources: ISO/IEC 15948:2004 (PNG), sections 11.2.2 and 11.3.5.3; TIFF revision 6.0, section 8.
"""

import io
import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely import MultiPolygon, affinity

from layout_core.errors import Cancelled, HandOffError
from layout_core.geometry.outline import valid_union
from layout_core.outputs.scanline import BAND_ROWS, bands
from layout_core.outputs.separation import separation, separation_png, separation_tiff
from layout_core.outputs.sheet_ink import mirrored
from layout_core.progress import StopFlag
from layout_core.units import MM_PER_IN, mm
from tests.core.outputs.print_tools import blob, pixels, run_tool


def drawn(outline: MultiPolygon, columns: int, rows: int) -> np.ndarray:
    packed = np.vstack(list(bands(outline, columns, rows)))
    return np.unpackbits(packed, axis=1)[:, :columns].astype(bool)


def centres_inside(outline: MultiPolygon, columns: int, rows: int) -> np.ndarray:
    x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    return shapely.contains_xy(outline, x, y)


@given(
    st.integers(5, 40),
    st.floats(3.0, 60.0),
    st.floats(-20.0, 120.0),
    st.floats(-20.0, 700.0),
    st.floats(0, 360),
)
@settings(max_examples=40)
def test_a_pixel_is_ink_exactly_when_its_centre_is_in_the_shape(
    vertices: int, radius: float, x: float, y: float, turn_deg: float
) -> None:
    shape = affinity.translate(
        affinity.rotate(blob(vertices, radius), turn_deg, (0, 0)), x + 0.0137, y + 0.0071
    )
    outline = valid_union(shape)
    assert (drawn(outline, 97, 601) == centres_inside(outline, 97, 601)).all()


def test_sampled_centres_of_a_whole_sheet_are_all_right() -> None:
    parts = [affinity.translate(blob(211), 24.03 + i % 6 * 47.5, 25.02 + i // 6 * 48.0) for i in range(60)]
    ink = valid_union(shapely.GeometryCollection(parts))
    plate = separation(ink, mm(11.25), mm(19), 600)
    found = pixels(separation_png(plate))
    assert found.shape == (11400, 6750)
    rng = np.random.default_rng(7)
    rings = shapely.get_coordinates(plate.outline)
    near = rings[rng.integers(0, len(rings), 60_000)] + rng.uniform(-2, 2, (60_000, 2))
    column, row = np.clip(near.astype(int), 0, (6749, 11399)).T
    assert (found[row, column] == shapely.contains_xy(plate.outline, column + 0.5, row + 0.5)).all()


def test_shapes_that_share_an_edge_leave_neither_gap_nor_double_row() -> None:
    # edges through pixel centres, where a sloppy rule counts twice or not at all
    left, right = shapely.box(0.5, 0.5, 10.5, 10.5), shapely.box(10.5, 0.5, 20.5, 10.5)
    counts = [drawn(MultiPolygon([one]), 30, 20).sum() for one in (left, right)]
    assert counts == [100, 100]
    both = drawn(MultiPolygon([left]), 30, 20) ^ drawn(MultiPolygon([right]), 30, 20)
    assert both.sum() == 200


def test_bands_join_without_a_seam() -> None:
    rows = 2 * BAND_ROWS + 11
    bar = MultiPolygon([shapely.box(3, 5, 9, rows - 4)])
    assert (drawn(bar, 16, rows) == centres_inside(bar, 16, rows)).all()


def test_pngcheck_and_tiffinfo_agree_on_size_and_resolution(tmp_path: Path) -> None:
    ink = MultiPolygon([shapely.box(10, 10, 40, 30)])
    for dpi, per_metre in ((300, 11811), (600, 23622), (1200, 47244)):
        plate = separation(ink, mm(2), mm(3), dpi)
        png, tiff = tmp_path / f"{dpi}.png", tmp_path / f"{dpi}.tif"
        png.write_bytes(separation_png(plate))
        tiff.write_bytes(separation_tiff(plate))
        said = run_tool("pngcheck", "-v", png)
        assert f"{2 * dpi} x {3 * dpi} image, 1-bit grayscale" in said
        assert f"{per_metre}x{per_metre} pixels/meter ({dpi} dpi)" in said
        told = run_tool("tiffinfo", tiff)
        assert f"Image Width: {2 * dpi} Image Length: {3 * dpi}" in told
        assert f"Resolution: {dpi}, {dpi} pixels/inch" in told
        assert "CCITT Group 4" in told
        assert "min-is-white" in told


def test_png_and_tiff_hold_the_same_pixels_ink_black() -> None:
    ink = valid_union(affinity.translate(blob(60), 25, 30))
    plate = separation(ink, 51.0, 62.0, 600)
    png, tiff = pixels(separation_png(plate)), pixels(separation_tiff(plate))
    assert (png == tiff).all()
    assert png.sum() == pytest.approx(plate.outline.area, rel=1e-3)
    assert not png[0].any()


def test_other_readers_find_ink_black_whatever_the_polarity() -> None:
    plate = separation(MultiPolygon([shapely.box(0, 0, 10, 10)]), 20.0, 10.0, 300)
    for data in (separation_png(plate), separation_tiff(plate)):
        with Image.open(io.BytesIO(data)) as picture:
            grey = picture.convert("L")
            assert grey.getpixel((2, 2)) == 0
            assert grey.getpixel((picture.width - 2, 2)) == 255


def test_plate_without_ink_is_blank_and_sound(tmp_path: Path) -> None:
    plate = separation(MultiPolygon(), 20.0, 10.0, 300)
    path = tmp_path / "blank.png"
    path.write_bytes(separation_png(plate))
    run_tool("pngcheck", path)
    assert not pixels(separation_png(plate)).any()
    assert not pixels(separation_tiff(plate)).any()


def test_mirrored_plate_is_the_mirror_image() -> None:
    ink = valid_union(affinity.translate(blob(60), 21.003, 30.007))
    front = pixels(separation_png(separation(ink, mm(2), mm(2.5), 300)))
    back = pixels(separation_png(separation(mirrored(ink, mm(2)), mm(2), mm(2.5), 300)))
    assert (front[:, ::-1] == back).all()
    assert (front != back).any()


@pytest.mark.parametrize("dpi", [0.0, -300.0, 71.9, 4801.0, float("nan"), float("inf")])
def test_resolution_that_makes_no_sense_is_refused(dpi: float) -> None:
    with pytest.raises(HandOffError, match="dpi"):
        separation(MultiPolygon(), 100.0, 100.0, dpi)


def test_plate_too_large_to_make_says_what_to_change() -> None:
    with pytest.raises(HandOffError, match=re.escape("choose fewer than 4800 dpi")):
        separation(MultiPolygon(), MM_PER_IN, 60 * MM_PER_IN, 4800)


def test_stop_ends_the_drawing() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        separation_png(separation(MultiPolygon(), 20.0, 20.0, 300), flag.tick)
