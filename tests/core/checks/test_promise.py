"""Promises: who misses them and why, fixes that do, and the cloth that suits a glow print."""

from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPolygon, box

from layout_core.checks.cache import CheckCache
from layout_core.checks.findings import Severity
from layout_core.checks.glow_ground import ground_findings
from layout_core.checks.misses import Miss
from layout_core.checks.promise import artwork_promise_findings, promise_findings, promise_misses
from layout_core.checks.promise_fixes import piece_misses, remedies
from layout_core.checks.run import check_job
from layout_core.errors import GlowError
from layout_core.glow import bands as bands_module
from layout_core.glow.elements import Elements, measured_elements
from layout_core.glow.scene import usual_lighting
from layout_core.glow.venue import load_venues, venue_named
from layout_core.job.edits import change_piece, repair_art, set_garment_colour, set_lighting, set_printing
from layout_core.job.lighting import Charge, Lighting, Promise
from layout_core.job.model import Job, Order, OrderLine
from layout_core.job.printing import PrintOptions
from layout_core.units import inches
from tests.make import make_artwork, make_job


def lighting(
    distance_m: float = 2.0, minutes: float = 20.0, level: str = "reads", venue: str = "dim hall"
) -> Lighting:
    promise = Promise(distance_m, minutes, level)  # type: ignore[arg-type]
    return replace(usual_lighting(), venue=venue_named(venue, load_venues()), promise=promise)


def job_with(*shapes: shapely.Geometry, light: Lighting | None = None) -> Job:
    job = make_job([make_artwork(shapely.union_all(list(shapes)))])
    return set_lighting(job, lighting() if light is None else light)


def misses(job: Job) -> tuple[Miss, ...]:
    piece = job.pieces[0]
    assert job.lighting is not None
    return promise_misses(job.artwork_of(piece), piece.width_mm, job.lighting, "black")


def mended(job: Job, kind: str) -> Job:
    """The job after the one remedy of the kind that its piece is offered."""
    piece = job.pieces[0]
    offered = remedies(job, piece, piece_misses(job, piece))
    (remedy,) = (r for r in offered if (r.repair.kind if r.repair else "enlarge") == kind)
    if remedy.repair is None:
        assert remedy.width_mm is not None
        return change_piece(job, piece.piece_id, width_mm=remedy.width_mm)
    return repair_art(job, piece.art_id, [remedy.repair])


STROKE, BLOCK = box(0, 0, 1.2, 30), box(20, 0, 60, 40)
OUTLINED = box(0, 0, 30, 30) - box(1, 1, 29, 29)
"""A frame drawn with a stroke of 1 mm."""


def test_bold_art_keeps_the_promise() -> None:
    job = job_with(BLOCK)
    assert promise_findings(job, job.pieces[0]) == ()
    assert misses(job) == ()


def test_a_fine_stroke_is_told_with_what_would_do() -> None:
    job = job_with(STROKE, BLOCK)
    (finding,) = promise_findings(job, job.pieces[0])
    assert (finding.rule, finding.severity, finding.piece_id, finding.unit) == (
        "promise", Severity.CAUTION, 101, "mm"
    )  # fmt: skip
    assert finding.measured == pytest.approx(1.2)
    assert finding.limit == pytest.approx(2.0 / 0.7085, rel=0.01)
    assert finding.message == (
        "Too fine to read: stroke of 0.047 in gets to 0.85 m; thicken to 0.114 in or enlarge to 236 % "
        "(promised: reads at 2 m after 20 min, dim hall)"
    )
    assert finding.highlight is not None
    assert finding.highlight.equals(STROKE)


def test_what_is_fine_and_what_is_small_are_told_apart() -> None:
    """At a glance a dot of 4 mm in a dim hall is too small; a stroke of 1.2 mm is too fine."""
    far = replace(lighting(3.0), at_a_glance=True)
    job = job_with(shapely.Point(0, 0).buffer(2.0, 32), box(2000, 0, 2040, 40), light=far)
    assert [miss.cause for miss in misses(job)] == ["too small"]
    (finding,) = promise_findings(job, job.pieces[0])
    assert finding.unit == "mm2"
    assert finding.message.startswith("Too small to see: 0.019 sq in of ink gets to ")
    assert [miss.cause for miss in misses(job_with(STROKE, BLOCK))] == ["too fine"]


def test_a_gap_that_closes_in_the_eye_is_told_as_a_gap() -> None:
    found = misses(job_with(box(0, 0, 10, 40), box(11, 0, 21, 40)))
    assert [miss.cause for miss in found] == ["gap too fine"] * 2
    assert [fix.kind for fix in found[0].fixes] == ["open", "enlarge"]


def test_a_thin_frame_may_be_made_solid() -> None:
    (miss,) = misses(job_with(OUTLINED))
    assert [fix.words for fix in miss.fixes][:2] == ["thicken to 0.114 in", "make solid"]


def test_a_fine_part_of_a_bold_element_is_a_note() -> None:
    job = job_with(BLOCK.union(box(60, 20, 75, 21)))
    (finding,) = promise_findings(job, job.pieces[0])
    assert finding.severity is Severity.NOTE
    assert finding.message.startswith(
        "Too fine to read: fine part of 0.038 in gets to 0.68 m; thicken to 0.114 in"
    )
    assert finding.where_mm is not None
    assert finding.where_mm[0] > 40


def test_a_promise_to_be_seen_asks_for_no_detail() -> None:
    job = job_with(STROKE, BLOCK, light=lighting(level="shape"))
    assert misses(job) == ()


def test_no_size_helps_in_a_venue_brighter_than_the_print() -> None:
    job = job_with(BLOCK, light=lighting(minutes=2000.0, venue="lit room"))
    (finding,) = promise_findings(job, job.pieces[0])
    assert finding.message.startswith(
        "The venue: 0.3 cd/m² round it is too bright for this print, 0.000068 cd/m² by then"
    )
    assert (finding.measured, finding.limit, misses(job)[0].fixes) == (None, None, ())


def test_many_misses_are_counted_and_one_size_serves_them_all() -> None:
    job = job_with(*(box(40 * n, 0, 40 * n + 1.0 + n / 100, 20) for n in range(20)))
    found = promise_findings(job, job.pieces[0])
    assert len(found) == 13
    assert found[-1].message.startswith("8 more elements miss it; enlarge to ")
    reached = [miss.reached_m for miss in misses(job)]
    assert reached == sorted(reached)
    assert len(reached) == 20
    most = max(fix.amount for miss in misses(job)[12:] for fix in miss.fixes if fix.kind == "enlarge")
    assert f"enlarge to {most:.0f} % for all of them" in found[-1].message


def test_without_a_promise_nothing_is_found() -> None:
    job = make_job([make_artwork(STROKE)])
    assert promise_findings(job, job.pieces[0]) == ()
    assert ground_findings(job) == ()
    silent = set_lighting(job, replace(lighting(), promise=None))
    assert promise_findings(silent, silent.pieces[0]) == ()
    assert not {f.rule for f in check_job(job)} & {"promise", "underbase", "glow_ground", "day_contrast"}


def test_an_unknown_lamp_is_refused_and_not_guessed() -> None:
    job = job_with(BLOCK, light=replace(lighting(), charge=Charge("torch", 100.0, 5.0)))
    with pytest.raises(GlowError, match="no lamp “torch”"):
        check_job(job)


@given(
    st.floats(0.4, 12.0), st.floats(3.0, 60.0), st.floats(0.5, 10.0), st.floats(0.0, 60.0),
    st.sampled_from(["reads", "shape"]), st.sampled_from(["dim hall", "full moon", "moonless night"]),
)  # fmt: skip
def test_every_fix_that_is_named_keeps_the_promise(
    stroke: float, length: float, distance: float, minutes: float, level: str, venue: str
) -> None:
    frame = shapely.box(0, 0, length + 2 * stroke, length + 2 * stroke)
    frame = frame - shapely.box(stroke, stroke, stroke + length, stroke + length)
    job = job_with(frame, light=lighting(distance, minutes, level, venue))
    for remedy in remedies(job, job.pieces[0], misses(job)):
        repair = remedy.repair
        if repair is None:
            assert misses(mended(job, "enlarge")) == (), remedy
        elif repair.kind == "solid" or (repair.kind == "thicken" and repair.limit_mm <= length / 2.0):
            # a thicker pen would fill the counter
            left = [m for m in misses(mended(job, repair.kind)) if m.cause != "gap too fine"]
            assert [m for m in left if not m.is_part] == [], remedy


def test_enlarging_by_one_per_cent_less_would_not_do() -> None:
    job = job_with(STROKE)
    (miss,) = misses(job)
    per_cent = next(fix.amount for fix in miss.fixes if fix.kind == "enlarge")
    assert misses(change_piece(job, 101, width_mm=job.pieces[0].width_mm * (per_cent - 1.0) / 100.0))
    assert not misses(mended(job, "enlarge"))


def test_thickening_leaves_bold_elements_and_the_scale_of_the_print_alone() -> None:
    job = job_with(STROKE, BLOCK)
    done = mended(job, "thicken")
    piece = done.pieces[0]
    artwork = done.artwork_of(piece)
    scale = piece.width_mm / artwork.width_mm
    areas = sorted(part.area * scale**2 for part in artwork.outline.geoms)
    assert areas[-1] == pytest.approx(BLOCK.area, rel=1e-6)
    assert areas[0] == pytest.approx(30 * 2.9, rel=0.15)
    assert done.art(201).original == job.art(201).artwork


def test_gaps_are_opened() -> None:
    done = mended(job_with(box(0, 0, 20, 40), box(21, 0, 41, 40)), "open")
    left, right = sorted(done.arts[0].artwork.outline.geoms, key=lambda part: part.bounds[0])
    assert left.distance(right) == pytest.approx(2.9, rel=0.05)


def test_the_remedy_of_a_piece_is_as_strong_as_its_worst_element_asks_for() -> None:
    job = job_with(STROKE, box(-20, 0, -18, 30))
    found = misses(job)
    asked = [fix.amount for miss in found for fix in miss.fixes if fix.kind == "thicken"]
    (remedy,) = (r for r in remedies(job, job.pieces[0], found) if r.repair and r.repair.kind == "thicken")
    assert remedy.repair is not None
    assert remedy.repair.limit_mm == max(asked)
    assert remedy.text == f"Thicken to {inches(max(asked)):.3f} in"
    (metric,) = (r for r in remedies(job, job.pieces[0], found, unit="mm") if r.repair == remedy.repair)
    assert metric.text == f"Thicken to {max(asked):.1f} mm"
    assert not [m for m in misses(mended(job, "thicken")) if not m.is_part]


def test_enlarging_says_how_wide_and_is_not_offered_beyond_the_sheet() -> None:
    job = job_with(STROKE)
    (remedy,) = (r for r in remedies(job, job.pieces[0], misses(job)) if r.width_mm)
    assert remedy.text.startswith("Enlarge to 236 %, 0.11 in")
    tiny = job_with(STROKE, box(100, 0, 260, 3))
    assert not [r for r in remedies(tiny, tiny.pieces[0], misses(tiny)) if r.width_mm]


def test_a_job_without_a_promise_asks_for_no_remedy() -> None:
    job = make_job([make_artwork(STROKE)])
    assert piece_misses(job, job.pieces[0]) == ()
    assert remedies(job, job.pieces[0], ()) == ()


def test_elements_are_measured_once_for_all_widths(monkeypatch: pytest.MonkeyPatch) -> None:
    counted: list[MultiPolygon] = []

    def measured(outline: MultiPolygon) -> Elements:
        counted.append(outline)
        return measured_elements(outline)

    bands_module.natural_elements.cache_clear()
    monkeypatch.setattr(bands_module, "measured_elements", measured)
    cache, artwork, light = CheckCache(), make_artwork(STROKE), lighting()
    for width in (1.2, 2.4, 1.2):
        artwork_promise_findings(artwork, width, light, "black", cache)
    assert len(counted) == 1


# --- cloth ---------------------------------------------------------------------------------------------


def test_light_cloth_and_low_contrast_by_day_are_cautions() -> None:
    job = set_garment_colour(job_with(BLOCK), "white")
    assert [f.rule for f in ground_findings(job)] == ["glow_ground", "day_contrast"]
    light, contrast = ground_findings(job)
    assert light.message.startswith("White cloth throws the venue's light back")
    assert contrast.message == "By day the print hardly shows on white: contrast 1.2, 3 is plain"
    assert all(f.severity is Severity.CAUTION for f in (light, contrast))


def test_dark_cloth_without_an_underbase_is_a_caution() -> None:
    job = job_with(BLOCK)
    (finding,) = ground_findings(job)
    assert finding.rule == "underbase"
    assert "on black: with it the glow gets up to 2.2 x brighter" in finding.message
    assert job.lighting is not None
    under = set_lighting(job, replace(job.lighting, has_underbase=True))
    assert ground_findings(set_printing(under, PrintOptions(has_underbase=True))) == ()


def test_colours_of_one_kind_are_one_caution() -> None:
    job = job_with(BLOCK)
    lines = tuple(
        OrderLine(20 + n, 101, "tee", colour, (("M", 1),)) for n, colour in enumerate(("navy", "black"))
    )
    job = replace(job, orders=(Order(11, "walk", "walkers", lines),))
    (finding,) = ground_findings(job)
    assert "navy and black" in finding.message
