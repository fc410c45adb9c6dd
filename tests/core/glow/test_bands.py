"""Elements, how they merge, and how far a whole piece reads and is seen."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse.csgraph import minimum_spanning_tree
from shapely import MultiPolygon, Point, affinity, box

from layout_core.glow.appearance import dark_look
from layout_core.glow.bands import element_bands, garment_colours, piece_elements, piece_scene, scene_bands
from layout_core.glow.elements import measured_elements
from layout_core.glow.visibility import detected_m, legible_m, sight
from layout_core.job.edits import set_lighting
from layout_core.job.model import Job, Order, OrderLine
from tests.core.glow.scenes import BLACKOUT, PARTY, outline, scene
from tests.make import make_artwork, make_job

MINUTES = np.array([1.0, 5.0, 20.0, 60.0])


def scattered(count: int, seed: int = 3) -> MultiPolygon:
    random = np.random.default_rng(seed)
    side = math.ceil(math.sqrt(count))
    discs = [
        Point(12.0 * (n % side) + random.uniform(-2, 2), 12.0 * (n // side) + random.uniform(-2, 2)).buffer(
            random.uniform(0.5, 3.5), quad_segs=6
        )
        for n in range(count)
    ]
    return outline(*discs)


def test_a_stroke_is_as_wide_as_it_is_drawn() -> None:
    shapes = (box(0, 0, 3, 15), box(20, 0, 24, 4), affinity.rotate(box(50, 0, 52, 30), 37))
    assert measured_elements(outline(*shapes)).stroke_mm == pytest.approx([3.0, 4.0, 2.0], rel=1e-6)
    ring = outline(Point(0, 0).buffer(20, 64) - Point(0, 0).buffer(18, 64))
    assert measured_elements(ring).stroke_mm[0] == pytest.approx(2.0, rel=0.01)


def test_detail_is_the_least_of_stroke_gap_and_counter() -> None:
    elements = measured_elements(outline(box(0, 0, 4, 40), box(5, 0, 9, 40), box(40, 0, 50, 40)))
    assert elements.detail_mm == pytest.approx([1.0, 1.0, 10.0])
    assert elements.near_mm == pytest.approx([1.0, 1.0, 31.0])
    holed = box(0, 0, 30, 30) - box(10, 10, 12, 22)
    assert measured_elements(outline(holed)).detail_mm[0] == pytest.approx(2.0)


def test_a_speck_or_a_touch_beside_it_does_not_blur_a_form() -> None:
    """A neighbour below a tenth of its ink, and a gap below a twentieth of its stroke (both invented)."""
    block, speck, touching = box(0, 0, 20, 20), box(20.5, 0, 21.5, 1), box(20.01, 5, 40, 25)
    assert measured_elements(outline(block, speck)).detail_mm[0] == pytest.approx(20.0)
    assert measured_elements(outline(block, touching)).detail_mm[0] == pytest.approx(20.0)


def test_elements_merge_in_the_order_of_their_gaps() -> None:
    patches = measured_elements(outline(box(0, 0, 10, 10), box(11, 0, 21, 10), box(25, 0, 35, 10))).patches
    assert patches.born_gap_mm.tolist() == pytest.approx([0, 0, 0, 1, 4])
    assert patches.area_mm2.tolist() == pytest.approx([100, 100, 100, 200, 300])
    assert patches.parent.tolist() == [3, 3, 4, 4, -1]


@pytest.mark.parametrize("count", [2, 9, 40])
def test_mergers_are_a_shortest_tree_of_all_distances(count: int) -> None:
    """Against scipy's minimum spanning tree of the full table of distances."""
    shape = scattered(count)
    parts = np.array(shape.geoms, dtype=object)
    table = shapely.distance(parts[:, None], parts[None, :])
    wanted = np.sort(minimum_spanning_tree(table).data)
    born = np.sort(measured_elements(shape).patches.born_gap_mm[len(parts) :])
    assert born == pytest.approx(wanted, rel=1e-9)


def test_one_element_alone_is_seen_as_the_formulas_say() -> None:
    here = scene(PARTY, is_adapted=True)
    bands = scene_bands(measured_elements(outline(box(0, 0, 3, 15))), here, MINUTES)
    eyes = sight(here, MINUTES)
    assert bands.shape_m == pytest.approx(detected_m(45.0, 3.0, eyes))
    assert bands.reads_m == pytest.approx(legible_m(3.0, eyes))
    assert bands.luminance_mcd_m2[2] == pytest.approx(14.18, abs=0.01)


def test_neighbours_that_merge_are_seen_from_further_than_each_alone() -> None:
    dot, row = box(0, 0, 2, 2), [box(3 * n, 0, 3 * n + 2, 2) for n in range(9)]
    here = scene(PARTY, is_adapted=True)
    alone = element_bands(measured_elements(outline(dot)), here, [20.0]).seen_m[0, 0]
    together = element_bands(measured_elements(outline(*row)), here, [20.0]).seen_m[:, 0]
    assert (together > 1.5 * alone).all()
    far = [affinity.translate(dot, 1e4 * n, 0) for n in range(3)]
    apart = element_bands(measured_elements(outline(*far)), here, [20.0]).seen_m[:, 0]
    assert apart == pytest.approx([alone] * 3)


def test_a_stray_speck_does_not_decide_how_far_a_piece_reads() -> None:
    block, speck = box(0, 0, 40, 40), box(80, 0, 80.5, 0.5)
    alone = scene_bands(measured_elements(outline(block)), scene(), [20.0]).reads_m[0]
    assert scene_bands(measured_elements(outline(block, speck)), scene(), [20.0]).reads_m[0] == alone
    many = [box(80 + 2 * n, 0, 80.5 + 2 * n, 20) for n in range(60)]
    assert scene_bands(measured_elements(outline(block, *many)), scene(), [20.0]).reads_m[0] < alone / 4


@given(st.integers(1, 25), st.floats(0.1, 8.0), st.sampled_from([BLACKOUT, PARTY]), st.integers(0, 5))
def test_a_piece_twice_as_large_is_seen_from_twice_as_far(
    count: int, times: float, background: float, seed: int
) -> None:
    elements, here = measured_elements(scattered(count, seed)), scene(background)
    small, large = scene_bands(elements, here, MINUTES), scene_bands(elements.scaled(times), here, MINUTES)
    assert large.reads_m == pytest.approx(small.reads_m * times, rel=1e-9)
    assert large.shape_m == pytest.approx(small.shape_m * times, rel=1e-9)
    assert (small.reads_m <= small.shape_m * (1 + 1e-12)).all()


@given(st.integers(1, 25), st.floats(1.0, 20.0), st.floats(1.0, 5.0))
def test_a_brighter_print_is_never_seen_less_far_nor_a_later_one_further(
    count: int, times: float, later: float
) -> None:
    elements = measured_elements(scattered(count))
    dim, bright = (scene_bands(elements, scene(PARTY, l10), MINUTES) for l10 in (20.0, 20.0 * times))
    after = scene_bands(elements, scene(PARTY, 20.0), MINUTES * later)
    for one, other in ((bright, dim), (dim, after)):
        assert (one.reads_m * (1 + 1e-9) >= other.reads_m).all()
        assert (one.shape_m * (1 + 1e-9) >= other.shape_m).all()


def test_measures_do_not_depend_on_where_a_piece_lies() -> None:
    shape = scattered(12)
    here, there = measured_elements(shape), measured_elements(affinity.translate(shape, 311.0, -87.0))
    assert there.patches.born_gap_mm == pytest.approx(here.patches.born_gap_mm, abs=1e-9)
    assert there.detail_mm == pytest.approx(here.detail_mm)


def job_on(colour: str, line_colour: str | None = None) -> Job:
    from dataclasses import replace

    job = replace(make_job([make_artwork()]), garment_colour=colour)
    if line_colour is None:
        return job
    line = OrderLine(21, 101, "tee", line_colour, (("M", 2),))
    return replace(job, orders=(Order(11, "walk", "walkers", (line,)),))


def test_light_cloth_brightens_the_background_and_dark_cloth_never_darkens_the_venue() -> None:
    """Worked by hand: the venue's figures are for surroundings of reflectance 0.1, white cloth has 0.8."""
    black, white = (piece_scene(job, job.pieces[0]) for job in (job_on("black"), job_on("white")))
    assert black.background_cd_m2 == pytest.approx(0.1)
    assert white.background_cd_m2 == pytest.approx(0.8)
    elements = piece_elements(job_on("white"), job_on("white").pieces[0])
    assert (scene_bands(elements, white, [20.0]).shape_m < scene_bands(elements, black, [20.0]).shape_m).all()


def test_the_colour_is_that_of_the_order_line() -> None:
    job = job_on("black", "white")
    assert garment_colours(job, job.pieces[0]) == ("white",)
    assert garment_colours(job_on("navy"), job_on("navy").pieces[0]) == ("navy",)
    empty = job_on("navy", "")
    assert garment_colours(empty, empty.pieces[0]) == ("navy",)


def test_without_a_lighting_of_its_own_a_job_is_judged_in_the_usual_one() -> None:
    job = job_on("black")
    assert set_lighting(job, None).lighting is None
    assert piece_scene(job, job.pieces[0]).ink.name == "thin screen print"


def test_the_dark_look_goes_black_where_the_bands_end() -> None:
    shape = outline(box(0, 0, 3, 15), box(60, 0, 61, 5))
    elements, here = measured_elements(shape), scene(PARTY, field_factor=1.0)
    seen = element_bands(elements, here, [20.0]).seen_m[:, 0]
    for n in range(2):
        assert dark_look(elements, here, 20.0, float(seen[n]) * 0.98).value[n] > 0.0
        assert dark_look(elements, here, 20.0, float(seen[n]) * 1.02).value[n] == 0.0
