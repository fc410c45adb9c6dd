"""A job file that is broken, hostile or not one at all is refused in one sentence, at every guard."""

import io
import json
import os
import sys
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layout_core.art.artwork import source_digest
from layout_core.errors import JobFileError, JobFileNewerError
from layout_core.job import archive, edits, file
from layout_core.job.file import job_from_bytes, read_job, write_job
from layout_core.job.migrations import FORMAT
from tests.core.job.jobs import MOTH
from tests.core.job.zips import DATA, JOB, members, refusal, with_record, zipped
from tests.make import GLOW


def test_a_good_file_zipped_by_another_program_opens() -> None:
    """So that each refusal below is for the one thing that it changes."""
    assert job_from_bytes("x", zipped(members())) == JOB
    assert job_from_bytes("x", with_record(lambda record: None)) == JOB


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"PK", "not a Duskwright job"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 100, "not a Duskwright job"),
        (DATA[: len(DATA) // 2], "not a Duskwright job"),
        (zipped({}), "not a Duskwright job"),
        (zipped({**members(), "mimetype": b"application/zip"}), "not a Duskwright job"),
        (zipped({"job.json": b"{}", "mimetype": archive.MIMETYPE.encode()}), "not a Duskwright job"),
        (zipped({"mimetype": archive.MIMETYPE.encode()}), "holds no job.json"),
    ],
)
def test_what_is_no_job_file_is_refused(data: bytes, words: str) -> None:
    assert words in refusal(data)


@pytest.mark.parametrize(
    "name",
    [
        "../evil", "/etc/passwd", "art/../../evil", "C:\\evil", "art/x.svg", "job.json.bak", "thumb.exe",
        "art/" + "a" * 64 + ".exe", "art/" + "A" * 64 + ".svg", "art/" + "a" * 64 + ".svg\n", "art/",
        "outline/" + "a" * 64 + ".svg", "art\\" + "a" * 64 + ".svg", "mimetype/x", "CON", "",
        "art/" + "a" * 64 + ".svg\0.exe",
    ],
)  # fmt: skip
def test_a_member_that_no_job_has_is_refused(name: str) -> None:
    buffer = io.BytesIO(zipped(members()))
    with zipfile.ZipFile(buffer, "a") as opened:
        info = zipfile.ZipInfo("placeholder")
        info.filename = name
        opened.writestr(info, b"x")
    assert "member that no job has" in refusal(buffer.getvalue())


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_member_that_stands_twice_is_refused() -> None:
    buffer = io.BytesIO(zipped(members()))
    with zipfile.ZipFile(buffer, "a") as opened:
        opened.writestr("job.json", b"{}")
    assert "same member twice" in refusal(buffer.getvalue())


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    content = {**members(), "art/" + "a" * 64 + ".svg": b"\0" * 5_000_000}
    data = zipped(content)
    assert len(data) < 20_000
    assert "over 100 times its size" in refusal(data)


def test_a_size_that_the_directory_lies_about_is_not_believed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A member that claims 10 bytes and holds 5 MB is damaged, not unpacked."""
    name = "art/" + "a" * 64 + ".svg"
    data = bytearray(zipped({**members(), name: os.urandom(1000) * 50}))
    at = data.rindex(b"PK\x01\x02", 0, data.rindex(name.encode()))
    data[at + 24 : at + 28] = (10).to_bytes(4, "little")
    assert "damaged" in refusal(bytes(data))


@pytest.mark.parametrize("most", ["MOST_MEMBER_BYTES", "MOST_RECORD_BYTES"])
def test_a_member_is_read_up_to_its_cap(most: str, monkeypatch: pytest.MonkeyPatch) -> None:
    content = members()
    largest = max(len(data) for name, data in content.items() if name not in ("job.json", "mimetype"))
    size = largest if most == "MOST_MEMBER_BYTES" else len(content["job.json"])
    monkeypatch.setattr(archive, most, size)
    assert job_from_bytes("x", DATA) == JOB
    monkeypatch.setattr(archive, most, size - 1)
    assert "more than a job can" in refusal(DATA)


def test_the_totals_of_a_file_are_capped(monkeypatch: pytest.MonkeyPatch) -> None:
    count, total = len(members()), sum(map(len, members().values()))
    for module, name, size in (
        (archive, "MOST_MEMBERS", count),
        (archive, "MOST_TOTAL_BYTES", total),
        (file, "MOST_FILE_BYTES", len(DATA)),
    ):
        with monkeypatch.context() as patch:
            patch.setattr(module, name, size)
            assert job_from_bytes("x", DATA) == JOB
            patch.setattr(module, name, size - 1)
            assert "more than a job" in refusal(DATA)


def test_an_encrypted_member_is_refused() -> None:
    data = bytearray(zipped(members()))
    at = 0
    while (at := data.find(b"PK\x01\x02", at)) >= 0:
        data[at + 8] |= 1
        at += 4
    assert "encrypted" in refusal(bytes(data))


@pytest.mark.parametrize(
    "text",
    [
        b"", b"[]", b"null", b"{", b"\xff\xfe", b'{"format": NaN}', b'{"format": 1, "format": 1}',
        b"[" * 200_000, b'{"a":' * 100_000, b"9" * 10_000, b'{"format": 1e999}', b'{"format": true}',
        b'{"format": "1"}', b'{"format": 0}', b'{"format": -1}', b'{"format": 1.0}', b"{}",
    ],
)  # fmt: skip
def test_a_record_that_is_none_is_refused(text: bytes) -> None:
    refusal(zipped({**members(), "job.json": text}, zipfile.ZIP_STORED))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"revision": 1', b'"revision": 1, "revision": 1'),
        (b'"ink_width_px": null', b'"ink_width_px": NaN'),
        (b'"ink_width_px": null', b'"ink_width_px": -Infinity'),
    ],
)
def test_a_key_that_stands_twice_and_a_number_that_is_none_are_not_read(old: bytes, new: bytes) -> None:
    content = members()
    assert old in content["job.json"]
    content["job.json"] = content["job.json"].replace(old, new, 1)
    assert "its job.json cannot be read" in refusal(zipped(content))


def test_a_mimetype_that_is_packed_is_refused() -> None:
    """It must be readable at a fixed place, so that other programs can tell the file by it."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as opened:
        for name, data in members().items():
            opened.writestr(name, data)
    assert "not a Duskwright job" in refusal(buffer.getvalue())


def test_a_later_format_is_refused_politely() -> None:
    data = with_record(lambda record: record.update(format=FORMAT + 1, something_new=[1, 2, 3]))
    with pytest.raises(JobFileNewerError, match=r"^n: was saved by a later Duskwright .*update the program"):
        job_from_bytes("n", data)


def _set(*path: Any, value: Any) -> Callable[[dict[str, Any]], object]:
    def change(record: dict[str, Any]) -> None:
        target: Any = record
        for step in path[:-1]:
            target = target[step]
        target[path[-1]] = value

    return change


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (_set("surprise", value=1), "surprise"),
        (_set("pieces", 0, "surprise", value=1), "pieces"),
        (lambda r: r.pop("limits"), "limits"),
        (_set("pieces", 0, "copies", value="3"), "$.pieces[0].copies"),
        (_set("pieces", 0, "copies", value=True), "$.pieces[0].copies"),
        (_set("pieces", 0, "copies", value=1.5), "$.pieces[0].copies"),
        (_set("pieces", 0, "copies", value=-1), "number of copies"),
        (_set("pieces", 0, "filler", value=1), "$.pieces[0].filler"),
        (_set("pieces", 0, "width_mm", value=1e7), "$.pieces[0].width_mm"),
        (_set("pieces", 0, "width_mm", value=0), "width of the piece"),
        (_set("pieces", 0, "width_mm", value=None), "$.pieces[0].width_mm"),
        (_set("pieces", 0, "piece_id", value=2), "is given twice"),
        (_set("pieces", 0, "piece_id", value=99), "the id 99"),
        (_set("pieces", 0, "piece_id", value=14), "the id 14"),
        (_set("pieces", 0, "piece_id", value=0), "the id 0"),
        (_set("pieces", 0, "art_id", value=7), "names an art that is not there"),
        (_set("pieces", 0, "order_id", value=7), "names an order that is not there"),
        (_set("pieces", 0, "turn_deg", value=400.0), "that no edit writes"),
        (_set("pieces", 0, "name", value="two\nlines"), "that no edit writes"),
        (_set("pieces", 0, "name", value="x" * 121), "that no edit writes"),
        (_set("pieces", 0, "name", value=""), "must not be empty"),
        (_set("orders", 0, "lines", 0, "piece_id", value=3), "names a piece that is not there"),
        (_set("orders", 0, "lines", 0, "piece_id", value=7), "piece of another order"),
        (_set("orders", 0, "lines", 0, "sizes", value=[["M", -1]]), "number of garments"),
        (_set("orders", 0, "lines", 0, "sizes", value=[["M", 1, 1]]), "sizes"),
        (_set("sheets", 0, "placed", 0, "piece_id", value=2), "names a piece that is not there"),
        (_set("sheets", 0, "placed", 0, "x_mm", value=5e5), "distance from the sheet"),
        (_set("sheets", 0, "margin_mm", value=500.0), "leaves nothing of the sheet"),
        (_set("sheets", 0, "run", value=0), "the run"),
        (_set("limits", "gap_mm", value=-1), "gap_mm must be more than 0"),
        (_set("limits", "line_stop_mm", value=100.0), "must not be above"),
        (_set("next_id", value=5), "next id 5"),
        (_set("next_id", value=2**60), "the next id"),
        (_set("next_id", value=10**30), "the next id"),
        (_set("revision", value=0), "the revision"),
        (_set("garment_colour", value="a\u202eb"), "that no edit writes"),
        (_set("waivers", value=[{"finding_key": "a", "who": "b", "reason": "c"}] * 2), "accepted twice"),
        (_set("arts", 0, "source", value="0" * 64), "is missing"),
        (_set("arts", 0, "source", value="../" + "0" * 61), "$.arts[0].source"),
        (_set("arts", 0, "suffix", value="exe"), "$.arts[0].suffix"),
        (_set("arts", 0, "route", value="magic"), "$.arts[0].route"),
        (_set("arts", 0, "ink_width_px", value=0), "$.arts[0].ink_width_px"),
        (lambda r: (r["arts"].pop(), r["pieces"].clear(), r["orders"].clear(), r["sheets"].clear()),
         "belongs to no art"),
    ],
)  # fmt: skip
def test_a_record_that_does_not_hold_together_is_refused(
    change: Callable[[dict[str, Any]], object], words: str
) -> None:
    assert words in refusal(with_record(change))


def test_art_whose_content_has_changed_is_refused() -> None:
    content = members()
    name = next(name for name in content if name.endswith(".svg"))
    content[name] = content[name].replace(b"svg", b"gvs", 1)
    assert "is not what was saved" in refusal(zipped(content))


def outline_file(wkb: bytes) -> bytes:
    """A job file whose first outline is these bytes, with the right hash."""
    content = members()
    record = json.loads(content["job.json"])
    del content[f"outline/{record['arts'][0]['outline']}.wkb"]
    record["arts"][0]["outline"] = source_digest(wkb)
    content[f"outline/{source_digest(wkb)}.wkb"] = wkb
    content["job.json"] = json.dumps(record).encode()
    return zipped(content)


def wkb(shape: shapely.Geometry, **options: Any) -> bytes:
    data: bytes = shapely.to_wkb(shape, byte_order=1, **options)
    return data


SQUARE = shapely.box(0, 0, 10, 10)
SEVEN = shapely.Polygon([(0, 0), (10, 0), (7, 7)])  # 7.0 ends in 1C 40, NaN in F8 7F, infinity in F0 7F
BOW = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "cut off"),
        (wkb(shapely.MultiPolygon([SQUARE]))[:-1], "cut off"),
        (wkb(shapely.MultiPolygon([SQUARE])) + b"\0", "bytes too many"),
        (wkb(SQUARE), "no set of shapes"),
        (wkb(shapely.Point(1, 1)), "no set of shapes"),
        (wkb(shapely.MultiPolygon()), "no set of shapes"),
        (shapely.to_wkb(shapely.MultiPolygon([SQUARE]), byte_order=0), "no set of shapes"),
        (wkb(shapely.force_3d(shapely.MultiPolygon([SQUARE]))), "no set of shapes"),
        (wkb(shapely.MultiPolygon([BOW])), "cross themselves"),
        (wkb(shapely.MultiPolygon([SQUARE, shapely.box(5, 0, 15, 10)])), "cross themselves"),
        (wkb(shapely.MultiPolygon([shapely.box(3, 0, 15, 10)])), "start at its corner"),
        (wkb(shapely.MultiPolygon([shapely.box(0, 0, 2e6, 10)])), "no usable size"),
        (wkb(shapely.MultiPolygon([SEVEN])).replace(b"\0\0\x1c\x40", b"\0\0\xf8\x7f"), "no number"),
        (wkb(shapely.MultiPolygon([SEVEN])).replace(b"\0\0\x1c\x40", b"\0\0\xf0\x7f"), "no number"),
        (b"\x01\x06\0\0\0\xff\xff\xff\xff" + b"\x01\x03\0\0\0\xff\xff\xff\xff", "cut off"),
        (b"\x01\x06\0\0\0\x01\0\0\0" + b"\x01\x03\0\0\0\0\0\0\0", "empty shape"),
        (b"\x01\x06\0\0\0\x02\0\0\0" + wkb(SQUARE) + b"\x01\x03\0\0\0\x01\0\0\0" + bytes(4), "cut off"),
        (b"\x01\x06\0\0\0\x01\0\0\0" + b"\x01\x03\0\0\0\x01\0\0\0" + b"\xff\xff\xff\xff", "cut off"),
    ],
)  # fmt: skip
def test_an_outline_that_is_none_is_refused(data: bytes, words: str) -> None:
    assert words in refusal(outline_file(data))


def test_an_outline_has_no_more_points_than_the_cap(monkeypatch: pytest.MonkeyPatch) -> None:
    most = max(int(shapely.get_num_coordinates(art.artwork.outline)) for art in JOB.arts)
    monkeypatch.setattr("layout_core.job.outline_bytes.MOST_VERTICES", most)
    assert job_from_bytes("x", DATA) == JOB
    monkeypatch.setattr("layout_core.job.outline_bytes.MOST_VERTICES", most - 1)
    assert f"over {most - 1} points" in refusal(DATA)


def test_a_cut_anywhere_is_refused() -> None:
    for size in range(len(DATA)):
        with pytest.raises(JobFileError):
            job_from_bytes("x", DATA[:size])


def test_a_flipped_byte_is_refused_or_harmless() -> None:
    """At every offset: a refusal in one sentence, or the very same job (a date in the zip, say)."""
    refused = 0
    for at in range(len(DATA)):
        for flip in (0x01, 0x80, 0xFF):
            data = bytearray(DATA)
            data[at] ^= flip
            try:
                assert job_from_bytes("x", bytes(data)) == JOB
            except JobFileError:
                refused += 1
    assert refused > len(DATA)


@given(st.data())
@settings(max_examples=300)
def test_cut_swapped_and_repeated_stretches_are_refused_or_harmless(data: st.DataObject) -> None:
    start, end = sorted((data.draw(st.integers(0, len(DATA))), data.draw(st.integers(0, len(DATA)))))
    kind = data.draw(st.sampled_from(["cut", "repeat", "zero", "noise"]))
    middle = {
        "cut": b"",
        "repeat": DATA[start:end] * 2,
        "zero": bytes(end - start),
        "noise": data.draw(st.binary(min_size=0, max_size=40)),
    }[kind]
    try:
        assert job_from_bytes("x", DATA[:start] + middle + DATA[end:]) == JOB
    except JobFileError as error:
        assert "\n" not in str(error)  # noqa: PT017 — a refusal is one of two good ends


@pytest.mark.parametrize(
    ("name", "words"), [("absent.duskjob", "cannot be opened"), ("folder.duskjob", "is not a file")]
)
def test_a_path_that_is_no_file_is_refused(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "folder.duskjob").mkdir()
    with pytest.raises(JobFileError, match=rf"^{name}: {words}"):
        read_job(tmp_path / name)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="a device without an end")
def test_a_device_is_not_read() -> None:
    with pytest.raises(JobFileError, match="is not a file"):
        read_job(Path("/dev/zero"))


def test_loading_reads_nothing_but_the_file(tmp_path: Path) -> None:
    """The art inside may point anywhere; a job file is opened without parsing it."""
    source = b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg>&x;</svg>'
    art = replace(MOTH, source=source, source_digest=source_digest(source))
    path = tmp_path / "a.duskjob"
    write_job(path, edits.add_art(edits.new_job(limits=GLOW), art))
    opened: list[str] = []
    armed = [True]

    def hook(event: str, arguments: tuple[Any, ...]) -> None:
        if armed[0] and event in ("open", "socket.connect"):
            opened.append(str(arguments[0]))

    sys.addaudithook(hook)
    read_job(path)
    armed[0] = False
    assert opened == [str(path)]
