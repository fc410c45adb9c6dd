"""Stock shapes: sizes and areas by hand, all printable as they come, and values that are refused."""

import math

import pytest
import shapely

from layout_core.art.stock import (
    StockShape,
    Value,
    checked_stock,
    stock_artwork,
    stock_kind,
    stock_kinds,
    stock_shape,
)
from layout_core.checks.art import check_artwork
from layout_core.errors import LetteringError
from tests.make import GLOW

KEYS = [kind.key for kind in stock_kinds()]


@pytest.mark.parametrize("key", KEYS)
def test_every_shape_prints_as_it_comes(key: str) -> None:
    art = stock_artwork(stock_shape(key))
    found = {finding.rule for finding in check_artwork(art, art.width_mm, GLOW).findings}
    # the swatch card has items on it that are too small on purpose
    assert found == ({"element_area"} if key == "swatch" else set())
    assert art.outline.is_valid
    assert (art.route, art.size_known, art.suffix) == ("vector", True, "svg")
    assert art.digest == stock_artwork(stock_shape(key)).digest


@pytest.mark.parametrize("key", KEYS)
def test_the_ends_of_every_range_give_a_sound_shape_or_a_sentence(key: str) -> None:
    for parameter in stock_kind(key).parameters:
        if parameter.sort in ("words", "font"):
            continue
        for value in parameter.choices or (parameter.least, parameter.most):
            try:
                art = stock_artwork(stock_shape(key, **{parameter.name: value}))
            except LetteringError:
                continue
            assert art.outline.is_valid
            assert art.outline.area > 0


def test_a_star_with_n_points_has_the_area_of_its_triangles() -> None:
    """2n triangles from the centre: n * R * r * sin(π/n)."""
    for points, depth in ((5, 0.5), (12, 0.3), (3, 0.6)):
        art = stock_artwork(
            stock_shape("star", size_mm=100.0, points=float(points), depth=depth, corner_mm=0.0)
        )
        area = points * 50.0 * 50.0 * (1 - depth) * math.sin(math.pi / points)
        assert art.outline.area == pytest.approx(area, rel=1e-3)
        assert shapely.get_num_coordinates(art.outline) == 2 * points + 1


def test_a_ring_is_the_difference_of_two_discs() -> None:
    art = stock_artwork(stock_shape("ring", size_mm=60.0, band_mm=5.0))
    assert art.outline.area == pytest.approx(math.pi * (30**2 - 25**2), rel=1e-3)
    assert (art.width_mm, art.height_mm) == pytest.approx((60.0, 60.0), abs=0.01)


def test_a_crescent_is_as_thick_as_its_fullness() -> None:
    for fullness in (0.2, 0.35, 0.7):
        art = stock_artwork(stock_shape("moon", size_mm=80.0, fullness=fullness, turn_deg=0.0))
        across = art.outline.intersection(shapely.LineString([(-1, 40), (200, 40)]))
        assert across.length == pytest.approx(80.0 * fullness, abs=0.1)


def test_a_burst_has_its_rays_and_its_disc() -> None:
    assert len(stock_artwork(stock_shape("burst", rays=24.0)).outline.geoms) == 25
    assert len(stock_artwork(stock_shape("burst", rays=24.0, core=0.0)).outline.geoms) == 24


def test_wave_bands_keep_their_gap_on_the_steepest_part() -> None:
    art = stock_artwork(stock_shape("wave", bands=2.0, band_mm=5.0, gap_mm=4.0))
    upper, lower = art.outline.geoms
    assert upper.distance(lower) == pytest.approx(4.0, abs=0.6)
    assert upper.distance(lower) > 3.9


def test_a_banner_has_a_panel_and_two_tails() -> None:
    flat = stock_artwork(stock_shape("banner", bend_deg=0.0))
    assert len(flat.outline.geoms) == 3
    assert flat.width_mm == pytest.approx(140.0, abs=3.0)
    mirrored = shapely.transform(flat.outline, lambda xy: xy * (-1, 1) + (flat.width_mm, 0))
    assert mirrored.symmetric_difference(flat.outline).area < 1e-4 * flat.outline.area


def test_a_box_with_a_band_is_a_frame() -> None:
    art = stock_artwork(stock_shape("box", width_mm=80.0, height_mm=50.0, corner_mm=0.0, band_mm=4.0))
    assert art.outline.area == pytest.approx(80 * 50 - 72 * 42)
    solid = stock_artwork(stock_shape("box", corner_mm=8.0))
    assert solid.outline.area == pytest.approx(80 * 50 - (4 - math.pi) * 64, rel=1e-3)


def test_a_drop_is_as_high_as_asked_and_the_slimmer_the_narrower() -> None:
    plump, slim = (stock_artwork(stock_shape("drop", height_mm=60.0, slimness=s)) for s in (0.2, 1.5))
    assert plump.height_mm == pytest.approx(60.0, abs=2.0)
    assert slim.aspect > plump.aspect > 1.0


def test_badge_words_stay_between_the_ring_and_the_emblem() -> None:
    """Words of any length: the letters lie in a band inside the ring, and nothing touches."""
    for top, bottom in (
        ("MOTH", "NIGHT"),
        ("A VERY LONG NAME FOR A MOTH SURVEY", "AND ITS SUB TITLE"),
        ("ONE", ""),
    ):
        art = stock_artwork(stock_shape("badge", size_mm=100.0, top=top, bottom=bottom, emblem="none"))
        ring = max(art.outline.geoms, key=lambda part: part.bounds[2] - part.bounds[0])
        centre = shapely.Point(50.0, 50.0)
        letters = [part for part in art.outline.geoms if part.bounds != ring.bounds]
        assert ring.area == pytest.approx(math.pi * (50**2 - 46**2), rel=1e-2)
        assert all(part.hausdorff_distance(centre) < 43.0 for part in letters)
        assert all(part.distance(centre) > 20.0 for part in letters)
        assert len(letters) >= len(top.replace(" ", "")) + len(bottom.replace(" ", ""))


def test_badge_words_above_read_clockwise_and_below_the_other_way() -> None:
    """An L shows it: above its foot points in, below its foot points out of the middle."""
    for where, is_lower in (("top", True), ("bottom", False)):
        words = {"top": "", "bottom": "", where: "L"}
        art = stock_artwork(stock_shape("badge", size_mm=100.0, emblem="none", **words))
        letter = min(art.outline.geoms, key=lambda part: part.area)
        y_foot, y_middle = letter.bounds[3], (letter.bounds[1] + letter.bounds[3]) / 2
        foot = letter.intersection(shapely.box(0, y_foot - 2, 100, y_foot))
        head = letter.intersection(shapely.box(0, letter.bounds[1], 100, letter.bounds[1] + 2))
        assert foot.area > 1.2 * head.area, "upright in both places"
        assert (y_middle < 50.0) is is_lower


@pytest.mark.parametrize(
    ("key", "values", "words"),
    [
        ("moth", {}, "no stock shape “moth”; there are star"),
        ("star", {"sides": 5.0}, "a star has no “sides”; it has size_mm, points"),
        ("star", {"points": 2.0}, "points: is 2; it must be from 3 to 60"),
        ("star", {"points": math.nan}, "points: must be a number"),
        ("star", {"size_mm": "big"}, "size: must be a number"),
        ("badge", {"top": 5.0}, "words above: must be words"),
        ("badge", {"top": "x" * 81}, "80 letters at most"),
        ("badge", {"emblem": "skull"}, "must be one of star, moon, drop, none"),
        ("badge", {"font": "No Such Face"}, "No Such Face"),
        ("badge", {"top": "Ж日"}, "has no “Ж”, “日”"),
    ],
)
def test_impossible_values_are_named(key: str, values: dict[str, Value], words: str) -> None:
    with pytest.raises(LetteringError, match=words):
        stock_artwork(stock_shape(key, **values))


def test_a_shape_is_a_value_with_every_parameter_in_order() -> None:
    shape = stock_shape("ring", band_mm=4)
    assert shape == StockShape("ring", (("size_mm", 60.0), ("band_mm", 4.0)))
    assert checked_stock(StockShape("ring", (("band_mm", 4.0),))) == shape
    assert shape.value("band_mm") == 4.0
    with pytest.raises(LetteringError, match="twice"):
        checked_stock(StockShape("ring", (("band_mm", 4.0), ("band_mm", 5.0))))
