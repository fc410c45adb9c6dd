"""The lighting of a job: kept in its file, refused where a value cannot be, absent where nobody stated it."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from layout_core.errors import JobFileError, LayoutError
from layout_core.job.edits import new_job, set_lighting
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.lighting import Charge, Ink, Lighting, Promise, Venue
from layout_core.job.records import checked_record, record_of
from tests.core.job.jobs import rich_job
from tests.core.job.zips import members, zipped
from tests.make import GLOW

LIGHTING = Lighting(
    Ink("Ours", 31.5, 1.207, 1.175, 50.0, 0.04, "swatch"),
    Charge("window", 2_000.0, 15.0),
    Venue("tide pool", 3e-3),
    has_underbase=True,
    promise=Promise(2.0, 20.0),
)

Change = Callable[[Lighting], Lighting]


def test_a_job_keeps_its_lighting_through_its_file() -> None:
    for lighting in (LIGHTING, replace(LIGHTING, promise=None, at_a_glance=True)):
        job = set_lighting(rich_job(), lighting)
        data = job_bytes(job)
        assert job_from_bytes("x", data) == job
        assert job_bytes(job_from_bytes("x", data)) == data
    assert set_lighting(job, None).lighting is None


def test_a_job_without_lighting_is_written_as_before() -> None:
    assert "lighting" not in json.loads(members()["job.json"])


def test_names_are_tidied_on_the_way_in() -> None:
    untidy = replace(LIGHTING, venue=Venue("tide\n pool ", 3e-3))
    assert set_lighting(rich_job(), untidy).lighting == LIGHTING


CANNOT_BE: dict[str, Change] = {
    "the luminance after 10 min is 0 mcd": lambda v: replace(v, ink=replace(v.ink, l10_mcd_m2=0.0)),
    "the luminance after 10 min is -1 mcd": lambda v: replace(v, ink=replace(v.ink, l10_mcd_m2=-1.0)),
    "the luminance after 10 min is nan": lambda v: replace(v, ink=replace(v.ink, l10_mcd_m2=float("nan"))),
    "the time constant is 99": lambda v: replace(v, ink=replace(v.ink, tau_min=99.0)),
    "the exponent of the decay is 0": lambda v: replace(v, ink=replace(v.ink, exponent=0.0)),
    "the film is 0": lambda v: replace(v, ink=replace(v.ink, film_um=0.0)),
    "the reflectance under the film is 1.5": lambda v: replace(v, ink=replace(v.ink, under_reflectance=1.5)),
    "the basis must be one of": lambda v: replace(v, ink=replace(v.ink, basis="guess")),  # type: ignore[arg-type]
    "the name of the ink must not be empty": lambda v: replace(v, ink=replace(v.ink, name=" ")),
    "the illuminance of the charge is 0 lx": lambda v: replace(v, charge=Charge("window", 0.0, 5.0)),
    "the time of the charge is inf": lambda v: replace(v, charge=Charge("window", 5.0, float("inf"))),
    "tide pool: the background is 0 cd": lambda v: replace(v, venue=Venue("tide pool", 0.0)),
    "the promised distance is 0 m": lambda v: replace(v, promise=Promise(0.0, 20.0)),
    "the promised distance is 1000 m": lambda v: replace(v, promise=Promise(1_000.0, 20.0)),
    "the promised time after lights-out is -1 min": lambda v: replace(v, promise=Promise(2.0, -1.0)),
    "a promise is one of reads, shape": lambda v: replace(v, promise=Promise(2.0, 20.0, "glow")),  # type: ignore[arg-type]
}


@pytest.mark.parametrize("words", CANNOT_BE)
def test_a_value_that_cannot_be_is_refused_and_the_last_good_lighting_kept(words: str) -> None:
    job = set_lighting(new_job("Night", GLOW), LIGHTING)
    with pytest.raises(LayoutError) as caught:
        set_lighting(job, CANNOT_BE[words](LIGHTING))
    assert words in str(caught.value)
    assert job.lighting == LIGHTING


def lit_record() -> dict[str, Any]:
    return dict(record_of(set_lighting(rich_job(), LIGHTING)))


@pytest.mark.parametrize(
    "change",
    [
        lambda light: light.pop("ink"),
        lambda light: light.update(colour="green"),
        lambda light: light["ink"].update(l10_mcd_m2="30"),
        lambda light: light["ink"].update(basis="guess"),
        lambda light: light["ink"].update(l10_mcd_m2=0.0),
        lambda light: light["venue"].update(background_cd_m2=-1.0),
        lambda light: light["promise"].update(level="glow"),
        lambda light: light["promise"].update(distance_m=1e5),
        lambda light: light["charge"].update(minutes=1e9),
        lambda light: light.update(has_underbase=1),
        lambda light: light["venue"].update(name="tide\npool"),
    ],
)
def test_a_job_file_with_a_false_lighting_is_refused(change: Callable[[dict[str, Any]], object]) -> None:
    record = lit_record()
    change(record["lighting"])
    content = {**members(), "job.json": json.dumps(record).encode()}
    with pytest.raises(JobFileError, match=r"^night\.duskjob: "):
        job_from_bytes("night.duskjob", zipped(content))


def test_the_unchanged_record_is_sound() -> None:
    """What the test above takes for false is so by its change alone."""
    content = {**members(), "job.json": json.dumps(lit_record()).encode()}
    assert job_from_bytes("x", zipped(content)).lighting == LIGHTING
    assert checked_record(lit_record()).lighting is not None
