"""The glow section of the proof: where a lighting is stated, with distances, assumptions and caution."""

from dataclasses import replace

import pytest

from layout_core.checks.run import check_job
from layout_core.glow.scene import usual_lighting
from layout_core.glow.words import DECORATION_ONLY
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Promise
from layout_core.job.model import Job
from layout_core.outputs.drawing import every_words
from layout_core.outputs.proof import layout_proof, proof_scope
from layout_core.outputs.proof_glow import glow
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


def test_without_a_lighting_the_proof_is_as_it_was() -> None:
    job, found = two_order_job()
    assert glow(proof_scope(job, found, None)).height == 0
    assert not any(w.text == "In the dark" for w in every_words(layout_proof(job, found).parts))
    assert any(w.text == "In the dark" for w in every_words(layout_proof(lit_job(), found).parts))


def test_one_orders_proof_tells_nothing_of_another() -> None:
    words = said(lit_job(), 12)
    assert "Limpet ring" in words
    assert not {"Moon", "Star"} & set(words)
