"""Signed proofs: what a signature covers, what makes it void, and that it is saved with the job."""

import io
import zipfile
from collections.abc import Callable
from dataclasses import replace

import pytest
import shapely

from layout_core.checks.run import check_job
from layout_core.errors import JobFileError, LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.approvals import approval_of, approval_state, printable_digest, shown_digest
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Approval, Job, OrderLine
from layout_core.job.printing import PrintOptions
from layout_core.job.soundness import require_sound
from tests.make import GLOW, make_artwork

Edit = Callable[[Job], Job]


def job_of_two() -> tuple[Job, dict[str, int]]:
    """Two orders with a piece each on one sheet, built by edits alone; the ids by name."""
    job = edits.new_job("Night", GLOW)
    ids = {"sheet": job.sheets[0].sheet_id}
    for name in ("moths", "lanterns"):
        ids[name] = job.next_id
        job = edits.add_order(job, name, f"{name} people")
    for name, size in (("moth", 60), ("lantern", 40)):
        ids[f"{name} art"] = job.next_id
        job = edits.add_art(job, make_artwork(shapely.box(0, 0, size, 30), name))
    for name, order in (("moth", "moths"), ("lantern", "lanterns")):
        ids[name] = job.next_id
        job = edits.add_piece(job, ids[f"{name} art"], width_mm=50.0, name=name, order_id=ids[order])
    for name, x in (("moth", 60.0), ("lantern", 160.0)):
        ids[f"{name} copy"] = job.next_id
        job = edits.place_piece(job, ids["sheet"], ids[name], Pose(x, 60.0))
    line = OrderLine(0, ids["moth"], "tee", "black", (("M", 4),), "cotton")
    return edits.set_order_lines(job, ids["moths"], [line]), ids


def edits_of_what_is_printed() -> dict[str, Edit]:
    job, ids = job_of_two()
    line = job.order(ids["moths"]).lines[0]
    return {
        "size": lambda job: edits.change_piece(job, ids["moth"], width_mm=51.0),
        "placement": lambda job: edits.change_piece(job, ids["moth"], placement="nape"),
        "ink": lambda job: edits.set_ink_name(job, "Other"),
        "underbase": lambda job: edits.set_printing(job, PrintOptions(has_underbase=True)),
        "garment colour": lambda job: edits.set_garment_colour(job, "navy"),
        "run": lambda job: edits.change_sheet(job, ids["sheet"], run=7),
        "count": lambda job: edits.set_order_lines(
            job, ids["moths"], [replace(line, sizes=(("M", 5),))]
        ),
        "fabric": lambda job: edits.set_order_lines(job, ids["moths"], [replace(line, fabric="fleece")]),
        "art": lambda job: edits.replace_artwork(job, ids["moth art"], make_artwork(shapely.box(0, 0, 9, 7))),
        "another copy": lambda job: edits.duplicate_placed(job, [ids["moth copy"]], 0.0, 70.0),
    }  # fmt: skip


@pytest.mark.parametrize("what", edits_of_what_is_printed())
def test_anything_printable_that_changes_makes_the_approval_void(what: str) -> None:
    job, ids = job_of_two()
    for order_id in (ids["moths"], None):
        signed = edits.sign_off(job, order_id, "R. Marsh", "3 May")
        assert approval_state(signed, order_id) == "holds"
        changed = edits_of_what_is_printed()[what](signed)
        assert approval_state(changed, order_id) == "void"


HARMLESS: dict[str, Callable[[Job, dict[str, int]], Job]] = {
    "name of the job": lambda job, ids: edits.rename_job(job, "Other"),
    "name of a plate": lambda job, ids: edits.set_printing(job, PrintOptions(ink_spot="LUMI", dpi=1200)),
    "name of a piece": lambda job, ids: edits.change_piece(job, ids["moth"], name="Other"),
    "name of a sheet": lambda job, ids: edits.change_sheet(job, ids["sheet"], name="Other"),
    "customer": lambda job, ids: edits.change_order(job, ids["moths"], customer="Others"),
    "revision": lambda job, ids: edits.set_revision(job, 9),
    "lock": lambda job, ids: edits.lock_placed(job, [ids["moth copy"]], True),
    "waiver": lambda job, ids: edits.waive(job, "gap:piece1::0.20", "M. Reed", "agreed"),
    "another signature": lambda job, ids: edits.sign_off(job, ids["lanterns"], "Another", "4 May"),
}


@pytest.mark.parametrize("what", HARMLESS)
def test_what_is_not_printed_leaves_the_approval_standing(what: str) -> None:
    job, ids = job_of_two()
    for order_id in (ids["moths"], None):
        signed = edits.sign_off(job, order_id, "R. Marsh", "3 May")
        changed = HARMLESS[what](signed, ids)
        assert changed != signed
        assert approval_state(changed, order_id) == "holds"


def test_moving_a_copy_voids_the_shop_approval_but_not_the_customers() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(edits.sign_off(job, ids["moths"], "R", "1"), None, "S", "1")
    moved = edits.move_placed(signed, [ids["moth copy"]], 1.0, 0.0)
    assert approval_state(moved, None) == "void"
    assert approval_state(moved, ids["moths"]) == "holds"


def test_another_order_does_not_touch_the_approval_of_one() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "R. Marsh", "3 May")
    assert approval_state(edits.change_piece(signed, ids["lantern"], width_mm=60.0), ids["moths"]) == "holds"


def test_change_undone_lets_the_approval_hold_again() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "R. Marsh", "3 May")
    larger = edits.change_piece(signed, ids["moth"], width_mm=60.0)
    assert approval_state(edits.change_piece(larger, ids["moth"], width_mm=50.0), ids["moths"]) == "holds"


def test_void_approval_is_a_finding_that_names_who_and_whose() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "R. Marsh", "3 May")
    assert not [f for f in check_job(signed) if f.rule.startswith("approval")]
    (found,) = [f for f in check_job(edits.set_ink_name(signed, "X")) if f.rule.startswith("approval")]
    assert "moths by R. Marsh, 3 May, is void" in found.message


def test_digest_is_shown_in_groups_that_the_eye_can_compare() -> None:
    assert shown_digest("0123456789abcdef" * 4) == "0123 4567 89ab cdef"


def test_approval_is_saved_with_the_job_and_read_again() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "R. Marsh", "3 May")
    again = job_from_bytes("a.duskjob", job_bytes(signed))
    assert again == signed
    assert approval_of(again, ids["moths"]) == Approval(
        ids["moths"], printable_digest(job, ids["moths"]), "R. Marsh", "3 May"
    )
    assert job_from_bytes("a.duskjob", job_bytes(job)).approvals == ()


def test_one_signature_an_order_the_last_counts_and_it_can_be_withdrawn() -> None:
    job, ids = job_of_two()
    twice = edits.sign_off(edits.sign_off(job, ids["moths"], "A", "1"), ids["moths"], "B", "2")
    assert [one.who for one in twice.approvals] == ["B"]
    assert edits.withdraw_approval(twice, ids["moths"]).approvals == ()
    assert edits.withdraw_approval(job, None) == job


def test_order_that_goes_takes_its_approval_along() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "A", "1")
    assert edits.remove_order(signed, ids["moths"]).approvals == ()


@pytest.mark.parametrize("digest", ["", "abc", "g" * 64, "a" * 63, "a" * 65])
def test_digest_that_is_none_is_refused(digest: str) -> None:
    job, ids = job_of_two()
    with pytest.raises(LayoutError, match="digest"):
        edits.sign_off(job, ids["moths"], "A", "1", digest=digest)


def test_unknown_order_and_empty_words_are_refused() -> None:
    job, ids = job_of_two()
    for order_id, who, when in ((999, "A", "1"), (ids["moths"], " ", "1"), (ids["moths"], "A", "")):
        with pytest.raises(LayoutError):
            edits.sign_off(job, order_id, who, when)


@pytest.mark.parametrize("approvals", [
    (Approval(999, "a" * 64, "A", "1"),),
    (Approval(None, "a" * 64, "A", "1"), Approval(None, "b" * 64, "B", "2")),
    (Approval(None, "a" * 64, "A\n", "1"),),
])  # fmt: skip
def test_job_file_with_an_approval_that_no_edit_makes_is_refused(approvals: tuple[Approval, ...]) -> None:
    job, _ = job_of_two()
    with pytest.raises(LayoutError):
        require_sound(replace(job, approvals=approvals))


def test_job_file_with_a_digest_that_is_none_is_refused() -> None:
    job, ids = job_of_two()
    signed = edits.sign_off(job, ids["moths"], "R. Marsh", "3 May")
    digest = signed.approvals[0].digest
    broken = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(job_bytes(signed))) as old, zipfile.ZipFile(broken, "w") as new:
        for member in old.infolist():
            new.writestr(member, old.read(member).replace(digest.encode(), b"z" * 64))
    with pytest.raises(JobFileError):
        job_from_bytes("a.duskjob", broken.getvalue())
