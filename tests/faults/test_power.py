"""F3: the power goes at any moment; every disk that this could leave holds the old or the new."""

from pathlib import Path

import pytest

from layout_core import file_system, files
from layout_core.files import write_whole
from layout_core.outputs import new_folder
from tests.faults.power import power_cuts
from tests.faults.saves import NEW_BYTES, OLD_BYTES, all_saves, file_save, in_place, unsynced, use_folder


@pytest.mark.parametrize("number", range(len(all_saves())), ids=[save.name for save in all_saves()])
def test_a_cut_at_any_moment_leaves_the_old_or_the_new(folder: Path, number: int) -> None:
    """After the save has reported success it is the new one on every disk."""
    use_folder(folder)
    cuts = power_cuts(all_saves()[number], folder)
    assert cuts.torn == ()
    assert cuts.forgotten == 0
    assert cuts.images >= 10


def test_the_loop_catches_a_file_put_in_place_unsynced(folder: Path) -> None:
    assert power_cuts(file_save("unsynced", unsynced, OLD_BYTES, NEW_BYTES), folder).torn != ()


def test_the_loop_catches_a_writer_that_writes_in_place(folder: Path) -> None:
    assert power_cuts(file_save("in place", in_place, OLD_BYTES, NEW_BYTES), folder).torn != ()


@pytest.mark.parametrize("number", [2, 5])
def test_the_loop_catches_a_folder_left_unsynced(
    folder: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    for module in (files, new_folder):
        monkeypatch.setattr(module, "sync_folder", lambda folder: None)
    assert power_cuts(all_saves()[number], folder).forgotten > 0


def test_the_loop_catches_data_left_in_the_cache(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file_system, "sync_file", lambda handle: None)
    assert power_cuts(file_save("proof.png", write_whole, OLD_BYTES, NEW_BYTES), folder).torn != ()
