"""The hand-off folder: whole or not at all, refused while a stop is open, true to its manifest.

Source of the fingerprint: SHA-256, FIPS 180-4.
"""

import hashlib
import json
import os
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from layout_core.art.sandbox import python_process
from layout_core.checks.findings import Finding, Severity
from layout_core.errors import Cancelled, HandOffError, SaveError
from layout_core.job.approvals import printable_digest, sign_off
from layout_core.job.model import Waiver
from layout_core.job.printing import PrintOptions
from layout_core.outputs import beside, handoff, new_folder
from layout_core.outputs.handoff import HandedOff, hand_off, open_stops
from layout_core.outputs.new_folder import MANIFEST, NewFolder
from layout_core.progress import StopFlag
from tests.core.outputs.shop_job import shop_job, with_fabric
from tests.make import make_artwork, make_job

QUICK = PrintOptions(dpi=72)
STOP = Finding("line_weight", Severity.STOP, "Line 0.012 in wide; needs 0.02 in", 0.3, 0.508, piece_id=101)


@pytest.fixture(scope="module")
def handed(tmp_path_factory: pytest.TempPathFactory) -> HandedOff:
    return hand_off(shop_job(), tmp_path_factory.mktemp("out") / "job", findings=(), options=QUICK)


def left_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_folder_holds_everything_a_stranger_needs_under_plain_names(handed: HandedOff) -> None:
    assert left_in(handed.folder) == sorted(handed.files) == sorted([
        "cut-a.pdf", "cut-a.svg", "manifest.json", "order.csv", "order.json", "plate-a-glow.png",
        "plate-a-glow.tif", "print-a.pdf", "proof-lantern-walk.pdf", "proof-zanzibar-quartet-night.pdf",
        "proof.pdf", "proof.png", "sheet-a.svg", "ticket.pdf",
    ])  # fmt: skip


def test_manifest_names_every_file_with_its_size_and_fingerprint(handed: HandedOff) -> None:
    manifest = json.loads((handed.folder / MANIFEST).read_text("utf-8"))
    assert manifest == handed.manifest
    assert {entry["file"] for entry in manifest["files"]} == set(handed.files) - {MANIFEST}
    for entry in manifest["files"]:
        data = (handed.folder / entry["file"]).read_bytes()
        assert hashlib.sha256(data).hexdigest() == entry["sha256"]
        assert (len(data), bool(entry["what"])) == (entry["bytes"], True)
    assert manifest["sheets"] == [{"sheet": "Sheet A", "count": 6, "pieces_on_each": 4}]
    assert manifest["printable_sha256"] == printable_digest(shop_job())


def test_same_job_gives_the_same_files(handed: HandedOff, tmp_path: Path) -> None:
    again = hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert again.manifest == handed.manifest


def test_open_stop_refuses_the_hand_off_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(HandOffError, match=r"Line 0\.012 in wide"):
        hand_off(shop_job(), tmp_path / "job", findings=(STOP,), options=QUICK)
    assert left_in(tmp_path) == []


def test_stop_accepted_by_name_and_reason_is_handed_off_and_told(tmp_path: Path) -> None:
    job = replace(shop_job(), waivers=(Waiver(STOP.key, "A. Finch, shop", "The customer wants it so"),))
    assert open_stops(job, (STOP,)) == ()
    done = hand_off(job, tmp_path / "job", findings=(STOP,), options=QUICK)
    (told,) = done.manifest["accepted_stops"]
    assert (told["who"], told["reason"]) == ("A. Finch, shop", "The customer wants it so")


def test_a_fabric_that_takes_no_heat_is_an_open_stop(tmp_path: Path) -> None:
    with pytest.raises(HandOffError, match="nylon does not take the heat"):
        hand_off(with_fabric(shop_job(), "nylon"), tmp_path / "job", options=QUICK)


def test_approval_stands_in_the_manifest_with_its_state(tmp_path: Path) -> None:
    job = sign_off(shop_job(), 12, "R. Marsh", "3 May")
    for number, (one, state) in enumerate(((job, "holds"), (replace(job, ink_name="Other"), "void"))):
        done = hand_off(one, tmp_path / str(number), findings=(), options=QUICK)
        assert done.manifest["approvals"][0]["state"] == state


def test_failure_on_the_way_leaves_no_folder_and_no_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[str] = []
    write = NewFolder.write

    def full_disk(self: NewFolder, name: str, data: bytes) -> None:
        if len(written) == 5:
            raise OSError(28, "No space left on device")
        written.append(name)
        write(self, name, data)

    monkeypatch.setattr(NewFolder, "write", full_disk)
    with pytest.raises(SaveError, match="no space left on device"):
        hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert len(written) == 5
    assert left_in(tmp_path) == []


def test_stop_pressed_on_the_way_leaves_nothing(tmp_path: Path) -> None:
    flag = StopFlag()

    def tick(fraction: float, label: str) -> None:
        if fraction > 0.5:
            flag.stop()
        flag.tick(fraction, label)

    with pytest.raises(Cancelled):
        hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK, progress=tick)
    assert left_in(tmp_path) == []


def test_earlier_hand_off_is_replaced_whole(tmp_path: Path) -> None:
    hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    renamed = replace(shop_job(), sheets=(replace(shop_job().sheets[0], name="Sheet Two"),))
    done = hand_off(renamed, tmp_path / "job", findings=(), options=QUICK)
    assert left_in(tmp_path) == ["job"]
    assert left_in(done.folder) == sorted(done.files)
    assert "print-two.pdf" in done.files


def test_folder_with_anything_else_in_it_is_left_alone(tmp_path: Path) -> None:
    hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    (tmp_path / "job" / "letter.txt").write_text("mine")
    before = left_in(tmp_path / "job")
    with pytest.raises(SaveError, match=r"already holds letter\.txt"):
        hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert left_in(tmp_path / "job") == before


def test_manifest_that_names_files_of_others_does_not_make_them_ours(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / MANIFEST).write_text('{"files": 7}')
    with pytest.raises(SaveError, match="already holds"):
        hand_off(shop_job(), folder, findings=(), options=QUICK)


def test_old_folder_comes_back_when_the_new_one_cannot_take_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    before = (tmp_path / "job" / MANIFEST).read_bytes()
    rename, calls = os.rename, []

    def stubborn(source: Path, target: Path) -> None:
        calls.append(source)
        if len(calls) == 2:
            raise PermissionError(13, "Permission denied")
        rename(source, target)

    monkeypatch.setattr(new_folder, "exchanged", lambda first, second: False)
    monkeypatch.setattr(new_folder.os, "rename", stubborn)
    with pytest.raises(SaveError, match="permission denied"):
        hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert left_in(tmp_path) == ["job"]
    assert (tmp_path / "job" / MANIFEST).read_bytes() == before


def test_file_in_the_way_and_a_name_that_cannot_be_are_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("x")
    for folder in (tmp_path / "taken", tmp_path / "taken" / "below"):
        with pytest.raises(SaveError, match="taken"):
            hand_off(shop_job(), folder, findings=(), options=QUICK)
    assert (tmp_path / "taken").read_text() == "x"


def test_folder_that_may_not_be_written_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(SaveError, match="permission denied"):
        hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert left_in(tmp_path) == []


@pytest.mark.parametrize("boot", [None, "raise SystemExit(3)"])
def test_a_second_process_makes_the_same_files_and_is_not_missed_when_it_dies(
    handed: HandedOff, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, boot: str | None
) -> None:
    started: list[str] = []

    def noted(usual: str) -> subprocess.Popen[bytes]:
        started.append(usual)
        return python_process(usual if boot is None else boot)

    monkeypatch.setattr(handoff, "_LARGE_VERTICES", 0)
    monkeypatch.setattr(beside, "python_process", noted)
    done = hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK)
    assert any("handoff import serve" in words for words in started)
    assert done.files == handed.files
    for name in done.files:
        assert (done.folder / name).read_bytes() == (handed.folder / name).read_bytes(), name


def test_job_with_nothing_on_its_sheets_has_nothing_to_hand_off(tmp_path: Path) -> None:
    with pytest.raises(HandOffError, match="nothing lies on its sheets"):
        hand_off(make_job([make_artwork()]), tmp_path / "job", options=QUICK)


def test_bad_spot_name_or_resolution_is_refused_before_anything_is_made(tmp_path: Path) -> None:
    for options in (PrintOptions(ink_spot="G/1"), PrintOptions(dpi=5)):
        with pytest.raises(HandOffError):
            hand_off(shop_job(), tmp_path / "job", findings=(), options=options)
    assert left_in(tmp_path) == []


def test_sheets_and_orders_of_one_name_get_files_of_their_own(tmp_path: Path) -> None:
    job = shop_job()
    twin = replace(
        job.sheets[0], sheet_id=2, name="a", placed=(replace(job.sheets[0].placed[0], placed_id=390),)
    )
    orders = tuple(replace(order, name="夜") for order in job.orders)
    done = hand_off(
        replace(job, sheets=(*job.sheets, twin), orders=orders), tmp_path / "job", findings=(), options=QUICK
    )
    assert {"print-a.pdf", "print-a-2.pdf", "proof-order.pdf", "proof-order-2.pdf"} <= set(done.files)


def test_underbase_gets_plates_of_its_own(tmp_path: Path) -> None:
    options = PrintOptions(has_underbase=True, dpi=72)
    done = hand_off(shop_job(), tmp_path / "job", findings=(), options=options)
    assert {"plate-a-underbase.png", "plate-a-underbase.tif"} <= set(done.files)


def test_quotes_that_are_given_join_the_folder_by_order(tmp_path: Path) -> None:
    done = hand_off(shop_job(), tmp_path / "job", findings=(), options=QUICK, quotes={12: b"%PDF quote"})
    assert (done.folder / "quote-lantern-walk.pdf").read_bytes() == b"%PDF quote"
    assert [name for name in done.files if name.startswith("quote")] == ["quote-lantern-walk.pdf"]
