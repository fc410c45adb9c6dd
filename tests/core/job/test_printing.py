"""Print options: kept with the job, refused where no press could use them.

Source of the spot names that are none: ISO 32000-1:2008, section 8.6.6.4.
"""

import math
from dataclasses import replace

import pytest

from layout_core.errors import JobFileError, LayoutError
from layout_core.job import edits
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.migrations import Record
from layout_core.job.printing import PrintOptions, checked_printing, spot_fault
from layout_core.job.records import checked_record, record_of
from layout_core.job.soundness import require_sound
from layout_core.units import mm
from tests.make import make_job

OWN = PrintOptions(
    "LUMI 2", "Knife", "White_1", has_cut_lines=False, has_underbase=True, choke_mm=mm(0.006),
    is_mirrored=True, has_marks=False, has_slug=False, dpi=1200.0,
)  # fmt: skip


def test_options_are_saved_with_the_job_and_read_again() -> None:
    job = edits.set_printing(make_job(), OWN)
    assert job_from_bytes("a.duskjob", job_bytes(job)).printing == OWN


def test_usual_options_leave_the_record_as_it_was() -> None:
    assert "printing" not in record_of(make_job())
    assert edits.set_printing(edits.set_printing(make_job(), OWN), PrintOptions()) == make_job()


@pytest.mark.parametrize(
    "changes",
    [
        {"ink_spot": "GLOW/1"}, {"ink_spot": ""}, {"cut_spot": "Schnitt ✂"}, {"under_spot": "Black"},
        {"ink_spot": "All"}, {"under_spot": "glow"}, {"cut_spot": "x" * 61}, {"choke_mm": -0.1},
        {"choke_mm": mm(0.2)}, {"choke_mm": math.nan}, {"dpi": 10.0}, {"dpi": math.inf}, {"dpi": 5000.0},
    ],
)  # fmt: skip
def test_what_no_press_could_use_is_refused(changes: dict[str, str | float]) -> None:
    job = make_job()
    options = replace(PrintOptions(), **changes)  # type: ignore[arg-type]
    with pytest.raises(LayoutError):
        edits.set_printing(job, options)
    with pytest.raises(LayoutError):
        require_sound(replace(job, printing=options))


def test_blanks_round_a_name_are_dropped() -> None:
    assert checked_printing(PrintOptions(ink_spot=" GLOW ")).ink_spot == "GLOW"


def test_fault_names_the_plate_and_what_is_allowed() -> None:
    assert spot_fault("GLOW", "the ink's spot name") is None
    fault = spot_fault("G#1", "the ink's spot name")
    assert fault is not None
    assert "the ink's spot name is “G#1”" in fault
    assert "A-Z a-z 0-9 _ -" in fault


def test_unknown_option_in_a_file_is_refused() -> None:
    record: Record = record_of(edits.set_printing(make_job(), OWN))
    record["printing"]["colour"] = "cmyk"
    with pytest.raises(Exception, match="colour") as refused:
        checked_record(record)
    assert not isinstance(refused.value, JobFileError)
