"""Fills, strokes and path data against their definitions, and an engine that knows nothing of ours."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from svgelements import Path

from layout_core.art.affine import IDENTITY, after, mapped, parsed_transform
from layout_core.art.curves import flattened, path_outline
from layout_core.art.fill import filled
from layout_core.art.strokes import Pen, path_length, stroked

_POINT = st.tuples(st.integers(0, 40), st.integers(0, 40))
_RING = st.lists(_POINT, min_size=3, max_size=9)


_STEPS = np.arange(0.0, 40.0, 0.77) + 0.0931
_PROBES = np.stack(np.meshgrid(_STEPS, _STEPS + 0.0177), axis=-1).reshape(-1, 2)


def _turns(rings: list[list[tuple[int, int]]]) -> NDArray[np.int64]:
    """How often the rings turn round each probe, by adding up the angles their corners are seen under."""
    total = np.zeros(len(_PROBES))
    for ring in rings:
        seen = np.array([*ring, ring[0]], dtype=np.float64)[None] - _PROBES[:, None]
        angles = np.arctan2(seen[..., 1], seen[..., 0])
        steps = np.diff(angles, axis=1)
        total += ((steps + math.pi) % (2 * math.pi) - math.pi).sum(axis=1)
    return np.asarray((total / (2 * math.pi)).round(), dtype=np.int64)


@given(st.lists(_RING, min_size=1, max_size=4))
@settings(max_examples=60)
def test_fills_hold_the_points_that_the_rules_name(rings: list[list[tuple[int, int]]]) -> None:
    """Source: SVG 1.1 section 11.3, fill-rule: a winding number that is odd, or that is not zero."""
    turns = _turns(rings)
    arrays = [np.array(ring, dtype=np.float64) for ring in rings]
    evenodd, nonzero = filled(arrays, "evenodd", 0.001), filled(arrays, "nonzero", 0.001)
    assert evenodd.is_valid
    assert nonzero.is_valid
    assert (shapely.contains_xy(evenodd, _PROBES) == (turns % 2 == 1)).all()
    assert (shapely.contains_xy(nonzero, _PROBES) == (turns != 0)).all()


@pytest.mark.parametrize(
    "data",
    [
        "M1 2L3 4H9V8Z",
        "m1 2l3 4h9v8z m5 5 l1 0 0 1z",
        "M0 0C10 0 10 10 0 10S-10 20 0 20",
        "M0 0Q10 0 10 10T20 20t5-5",
        "M10 10A5 8 30 0 1 20 25a5 8 30 1 0 9 2",
        "M10 10A5 5 0 11 10 10.01",
        "M0 0A1 1 0 0 1 50 0",
        "M.5.5.7.7-1-1z",
    ],
)
def test_path_data_follows_the_curve_svgelements_draws(data: str) -> None:
    """Oracle: svgelements' own segments, sampled; every sample lies on our outline."""
    outline = path_outline(data)
    assert outline.is_whole
    lines = shapely.union_all(
        [shapely.LineString(flattened(part, IDENTITY, 1e-4)) for part in outline.contours]
    )
    for segment in Path(data):
        if type(segment).__name__ == "Move":
            continue
        for t in np.linspace(0, 1, 9):
            point = segment.point(t)
            assert lines.distance(shapely.Point(point.x, point.y)) < 2e-3


def test_smooth_commands_do_not_mirror_curves_of_the_other_family() -> None:
    """SVG 1.1 section 8.3.7: after anything but Q or T the control point of T is the current point."""
    after_cubic = path_outline("M0 0C0 10 10 10 10 0T20 0").contours[0].cubics[1]
    assert shapely.LineString(after_cubic).length == pytest.approx(10)
    after_quadratic = path_outline("M0 0Q5 10 10 0S20 10 20 0").contours[0].cubics[1]
    assert tuple(after_quadratic[1]) == (10, 0)


@pytest.mark.parametrize(
    ("data", "count"),
    [("M0 0L5 5 L 7", 1), ("M0 0L5 5 X 9 9", 1), ("L5 5", 0), ("", 0), ("M0 0", 0), ("M0 0 nan 4", 0)],
)
def test_path_data_is_read_up_to_its_first_mistake(data: str, count: int) -> None:
    outline = path_outline(data)
    assert sum(len(part.is_line) for part in outline.contours) == count


@given(st.floats(0.5, 200), st.floats(1e-4, 0.1))
def test_flattened_circle_stays_within_the_tolerance(radius: float, tolerance: float) -> None:
    outline = path_outline(f"M{radius} 0A{radius} {radius} 0 0 1 {-radius} 0")
    corners = flattened(outline.contours[0], IDENTITY, tolerance)
    middles = (corners[1:] + corners[:-1]) / 2
    assert radius - np.hypot(middles[:, 0], middles[:, 1]).min() <= tolerance + 1e-5 * radius


def test_path_length_is_the_arc_length() -> None:
    assert path_length(path_outline("M10 0A10 10 0 0 1 -10 0"), 1e-4) == pytest.approx(10 * math.pi, rel=1e-4)


@given(st.floats(1, 10), st.sampled_from(["butt", "round", "square"]))
def test_a_straight_stroke_has_the_area_of_its_caps(width: float, cap: str) -> None:
    edge = stroked(path_outline("M0 0H30"), Pen(width, cap), 0.001)
    area = filled([flattened(part, IDENTITY, 0.001) for part in edge.contours], "nonzero", 0.001).area
    caps = {"butt": 0.0, "square": width * width, "round": math.pi * width * width / 4}[cap]
    assert area == pytest.approx(30 * width + caps, rel=1e-3)


@given(st.floats(-180, 180), st.floats(0.2, 5), st.floats(-50, 50))
def test_maps_compose_like_the_transforms_they_state(turn: float, scale: float, move: float) -> None:
    both = parsed_transform(f"translate({move:f} 3) rotate({turn:f}) scale({scale:f} 2)")
    parts = [
        parsed_transform(f"{name}({values})")
        for name, values in (("translate", f"{move:f} 3"), ("rotate", f"{turn:f}"), ("scale", f"{scale:f} 2"))
    ]
    assert both is not None
    first, second, third = parts
    assert first is not None
    assert second is not None
    assert third is not None
    point = np.array([[7.0, -2.0]])
    assert mapped(point, after(first, after(second, third))) == pytest.approx(mapped(point, both), abs=1e-6)
