"""The glow section of the proof: where a lighting is stated, with distances, assumptions and caution."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from layout_core.checks.run import check_job
from layout_core.glow.appearance import dark_look
from layout_core.glow.bands import piece_elements, piece_scene
from layout_core.glow.colour import luminance_of, rgb_of
from layout_core.glow.scene import usual_lighting
from layout_core.glow.words import DECORATION_ONLY
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Promise, Venue
from layout_core.job.model import Job
from layout_core.outputs.drawing import Area, Group, Part, every_words
from layout_core.outputs.pages import ROOM
from layout_core.outputs.proof import layout_proof, proof_scope
from layout_core.outputs.proof_dark import USUAL_MOMENT, dark_rows
from layout_core.outputs.proof_glow import glow
from layout_core.outputs.proof_style import Block
from tests.gold.scenes import two_order_job


def lit_job(distance_m: float = 3.0) -> Job:
    job, _ = two_order_job()
    return set_lighting(job, replace(usual_lighting(), promise=Promise(distance_m, 20.0)))


def said(job: Job, order_id: int | None = None) -> list[str]:
    block = glow(proof_scope(job, check_job(job), order_id))
    return [words.text for words in every_words(block.parts)]


def test_each_piece_has_its_distances_after_5_20_and_60_minutes() -> None:
    words = said(lit_job())
    assert [w for w in words if w.startswith("after ")] == ["after 5 min", "after 20 min", "after 60 min"]
    assert {"Moon", "Limpet ring", "Star"} <= set(words)
    assert sum(" m · " in w for w in words) == 9
    assert "reads at 3 m after 20 min, dim hall" in words


def test_a_distance_never_stands_without_the_caution_and_what_it_assumes() -> None:
    words = said(lit_job())
    assert DECORATION_ONLY in words
    whole = " ".join(words)
    assert "an assumed ink, not measured" in whole
    assert "Print a swatch and look." in whole
    assert "Each piece is judged on its own garment's colour." in whole


@pytest.mark.parametrize(("distance", "verdicts"), [(3.0, {"kept"}), (90.0, {"missed"})])
def test_the_promise_is_told_kept_or_missed_in_words(distance: float, verdicts: set[str]) -> None:
    assert {"kept", "missed"} & set(said(lit_job(distance))) == verdicts


def pictures(job: Job) -> list[Area]:
    """The areas that the dark view is drawn with."""
    return list(areas_of(glow(proof_scope(job, (), None)).parts))


def areas_of(parts: tuple[Part, ...]) -> Iterator[Area]:
    for part in parts:
        if isinstance(part, Area):
            yield part
        elif isinstance(part, Group):
            yield from areas_of(part.parts)


def test_each_piece_is_shown_as_the_eye_sees_it_at_the_promised_moment() -> None:
    words = said(lit_job(2.0))
    assert "What the eye sees from 2.0 m, 20 min after lights-out, dim hall" in words
    left = dark_look(
        piece_elements(lit_job(), lit_job().pieces[0]), piece_scene(lit_job(), lit_job().pieces[0]), 20.0, 2.0
    ).resolved_mm
    assert words.count(f"finest detail left {left:.2g} mm") == 3
    areas = pictures(lit_job(2.0))
    assert len(areas) > 3 * 8, "shades from dark to bright"
    assert len({area.fill for area in areas}) > 8


def test_farther_away_the_pictures_are_darker_and_softer() -> None:
    near, far = (
        max(luminance_of(rgb_of(area.fill)) for area in pictures(lit_job(metres))) for metres in (1.0, 12.0)
    )
    assert far < near


def test_what_is_gone_is_black_and_said_to_be_gone() -> None:
    job, _ = two_order_job()
    floodlit = replace(usual_lighting(), venue=Venue("floodlit yard", 30.0), promise=Promise(3.0, 20.0))
    job = set_lighting(job, floodlit)
    assert said(job).count("gone") == 3
    assert pictures(job) == []


def test_many_pieces_stand_in_rows_that_pages_can_part() -> None:
    tiles = [Block(330.0, ())] * 23
    rows = dark_rows(tiles, usual_lighting(), USUAL_MOMENT)
    assert len(rows) == 5
    assert rows[0].height > rows[1].height, "the heading keeps to its first row"
    assert all(row.height < ROOM for row in rows)


def test_without_a_promise_the_pictures_are_those_of_3_m_after_20_minutes() -> None:
    job, _ = two_order_job()
    words = said(set_lighting(job, usual_lighting()))
    assert "What the eye sees from 3.0 m, 20 min after lights-out, dim hall" in words


def test_without_a_lighting_the_proof_is_as_it_was() -> None:
    job, found = two_order_job()
    assert glow(proof_scope(job, found, None)).height == 0
    assert not any(w.text == "In the dark" for w in every_words(layout_proof(job, found).parts))
    assert any(w.text == "In the dark" for w in every_words(layout_proof(lit_job(), found).parts))


def test_one_orders_proof_tells_nothing_of_another() -> None:
    words = said(lit_job(), 12)
    assert "Limpet ring" in words
    assert not {"Moon", "Star"} & set(words)
