"""The sample job from the first file to the proofs, without a display and without Qt."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from app import demo
from app.demo import unpacked_job
from layout_core.checks.promise import WORST_SHOWN
from layout_core.checks.run import CheckCache, check_job
from layout_core.errors import SaveError, TableError
from layout_core.glow.bands import element_bands, piece_elements, piece_scene
from layout_core.glow.words import DECORATION_ONLY
from layout_core.job.file import read_job
from layout_core.job.model import Job
from layout_core.outputs.cut_plan import cut_plan
from layout_core.outputs.drawing import every_words
from layout_core.outputs.file_names import file_word
from layout_core.outputs.handoff import open_stops
from layout_core.outputs.press_ticket import ticket_pages
from layout_core.outputs.proof import layout_proof
from layout_core.packing.on_sheet import placed_outlines
from layout_core.shipped import shipped
from tests.make import make_artwork

ROOT = Path(__file__).resolve().parents[2]
FILES = {"demo.duskjob", "check.json", "proof.png"}
HAND_OFF = {
    "proof.png", "proof.pdf", "proof-moth-survey-night.pdf", "proof-tide-pool-lantern-walk.pdf", "ticket.pdf",
    "order.csv", "order.json", "manifest.json", "quote-moth-survey-night.pdf",
    "quote-tide-pool-lantern-walk.pdf",
    *(f"{kind}-{sheet}{suffix}" for sheet in "ab" for kind, suffix in (
        ("print", ".pdf"), ("plate", "-glow.png"), ("plate", "-glow.tif"), ("sheet", ".svg"), ("cut", ".pdf"),
        ("cut", ".svg"))),
}  # fmt: skip

COMMAND = (
    "import sys; from app.cli import main\n"
    "try: main(sys.argv[1:])\n"
    "finally: print([name for name in sys.modules if name.startswith('PySide6')], file=sys.stderr)"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What one run of the command leaves, in a folder that it made itself."""
    out = tmp_path_factory.mktemp("demo") / "new" / "out"
    environment = {
        key: value for key, value in os.environ.items() if "DISPLAY" not in key and "QT_" not in key
    }
    run = subprocess.run(
        [sys.executable, "-c", COMMAND, "demo", "--out", str(out)],
        cwd=out.parents[1], capture_output=True, text=True, check=False,
        env={**environment, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert run.stderr == "[]\n", "a command without a window imported Qt, or was not quiet in a pipe"
    assert {Path(line).name for line in run.stdout.splitlines()} == FILES | HAND_OFF
    return out


@pytest.fixture(scope="module")
def job(folder: Path) -> Job:
    return read_job(folder / "demo.duskjob")


def test_the_demo_leaves_its_files_and_nothing_else(folder: Path) -> None:
    assert {path.name for path in folder.iterdir()} == {*FILES, "hand-off"}
    assert {path.name for path in (folder / "hand-off").iterdir()} == HAND_OFF


def test_a_stranger_with_the_hand_off_alone_can_print_cut_and_press_the_job(folder: Path, job: Job) -> None:
    """Every sheet has its print file and cuts, every ordered garment its prints, every print its place."""
    order = json.loads((folder / "hand-off" / "order.json").read_text("utf-8"))
    assert [sheet["count"] for sheet in order["sheets"]] == [sheet.run for sheet in job.sheets]
    assert all(one["spare"] >= 0 for one in order["prints"])
    ordered = sum(line.count for every in job.orders for line in every.lines)
    assert sum(one["count"] for one in order["garments"]) == ordered - 27  # so many garments bear two prints
    assert open_stops(job, check_job(job)) == ()
    ticket = " ".join(
        words.text
        for page in ticket_pages(job, [cut_plan(job, sheet) for sheet in job.sheets])
        for words in every_words(page.parts)
    )
    for piece in job.pieces:
        if job.copies_placed(piece.piece_id):
            assert piece.name in ticket


def test_every_ordered_copy_lies_on_a_sheet_and_fillers_use_the_rest(job: Job) -> None:
    assert len(job.orders) == 2
    for piece in job.pieces:
        if piece.filler:
            continue
        assert job.copies_placed(piece.piece_id) == piece.copies, piece.name
    assert sum(job.copies_placed(piece.piece_id) for piece in job.pieces if piece.filler) > 0


def test_every_copy_keeps_the_gap_and_stays_on_the_sheet(job: Job) -> None:
    """Measured here on the true outlines, pair by pair, without the packer's or the checks' own code."""
    for sheet in job.sheets:
        outlines = list(placed_outlines(job, sheet).values())
        assert len(outlines) > 3
        for number, outline in enumerate(outlines):
            left, top, right, bottom = outline.bounds
            assert left >= sheet.margin_mm - 1e-6
            assert top >= sheet.margin_mm - 1e-6
            assert right <= sheet.width_mm - sheet.margin_mm + 1e-6
            assert bottom <= sheet.length_mm - sheet.margin_mm + 1e-6
            for other in outlines[:number]:
                assert outline.distance(other) >= sheet.gap_mm - 1e-6


def test_the_demo_says_which_parts_vanish_at_3_m_after_20_minutes(folder: Path, job: Job) -> None:
    """Findings and proof agree with each other and with how far the elements are seen, worked out here."""
    assert job.lighting is not None
    promise = job.lighting.promise
    assert promise is not None
    assert (promise.distance_m, promise.minutes, promise.level) == (3.0, 20.0, "shape")
    vanishing = {
        piece.name: int(
            (element_bands(piece_elements(job, piece), piece_scene(job, piece), [20.0]).seen_m < 3.0).sum()
        )
        for piece in job.pieces
    }
    assert 1 < sum(count > 0 for count in vanishing.values()) < len(job.pieces)
    document = json.loads((folder / "check.json").read_text("utf-8"))
    told = [one for one in document["job"] if one["rule"] == "promise"]
    assert {one["piece"] for one in told} == {name for name, count in vanishing.items() if count}
    for name, count in vanishing.items():
        assert sum(one["piece"] == name for one in told) == min(count, WORST_SHOWN + 1)
    findings = check_job(job)
    words = [each.text for each in every_words(layout_proof(job, findings).parts)]
    assert "In the dark" in words
    assert any(DECORATION_ONLY in one for one in words)
    laid = [vanishing[piece.name] for piece in job.pieces if job.copies_placed(piece.piece_id)]
    assert words.count("missed") == sum(count > 0 for count in laid)
    assert words.count("kept") == sum(count == 0 for count in laid)


def test_the_proof_is_a_picture_of_a_page(folder: Path) -> None:
    data = (folder / "proof.png").read_bytes()
    assert data == (folder / "hand-off" / "proof.png").read_bytes()
    with Image.open(io.BytesIO(data), formats=("PNG",)) as picture:
        assert min(picture.size) >= 1000
        colours = picture.convert("L").getcolors(256) or []
        assert len(colours) > 20, "a proof is not one flat colour"


def test_a_customers_proof_shows_nothing_of_the_other(job: Job) -> None:
    findings = check_job(job)
    for own, other in (job.orders, reversed(job.orders)):
        drawing = layout_proof(job, findings, order_id=own.order_id)
        words = " ".join(part.text for part in every_words(drawing.parts))
        hidden = [other.customer, *(p.name for p in job.pieces if p.order_id == other.order_id)]
        assert own.name in words
        assert not [name for name in hidden if name in words]


def test_the_same_job_gives_the_same_pixels_in_another_process(folder: Path, tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "app", "proof", str(folder / "demo.duskjob"), "-o", "again.png"],
        cwd=tmp_path, capture_output=True, check=False, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert (tmp_path / "again.png").read_bytes() == (folder / "proof.png").read_bytes()


def test_the_findings_name_every_piece_and_what_is_wrong_on_purpose(folder: Path, job: Job) -> None:
    document: dict[str, Any] = json.loads((folder / "check.json").read_text("utf-8"))
    assert [piece["piece"] for piece in document["pieces"]] == [piece.name for piece in job.pieces]
    wrong = {piece["piece"] for piece in document["pieces"] if piece["findings"]}
    assert "Hand net" in wrong
    assert all(finding["severity"] != "stop" for finding in document["layout"]), "the layout itself is clean"


def test_what_the_customers_accept_was_found(job: Job) -> None:
    keys = {finding.key for finding in check_job(job, CheckCache())}
    assert job.waivers
    assert all(waiver.finding_key in keys for waiver in job.waivers)
    assert all(waiver.who and waiver.reason for waiver in job.waivers)


def test_a_folder_that_cannot_be_made_is_refused_before_any_work(tmp_path: Path) -> None:
    (tmp_path / "taken").write_bytes(b"")
    with pytest.raises(SaveError, match="taken: this folder cannot be made"):
        demo.write_demo(tmp_path / "taken")


TABLE = """\
name = "Small"
garment_colour = "black"
[[sheet]]
name = "Sheet A"
width = "11.25 in"
length = "22 in"
[[order]]
name = "Walk"
customer = "Walkers"
[[piece]]
art = "a.svg"
name = "Star"
placement = "sleeve"
garment_size = "adult"
copies = 2
filler = false
order = "Walk"
[[line]]
piece = "Star"
garment = "tee"
garment_colour = "navy"
fabric = "cotton"
sizes = { M = 2 }
[[waiver]]
piece = "Star"
rule = "gap"
who = "Ada"
reason = "tested"
"""


@pytest.fixture
def table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small demo.toml whose art needs no reading."""
    monkeypatch.setattr(demo, "read_art", lambda path, sandbox: make_artwork(name=path.stem))
    (tmp_path / "a.svg").write_bytes(b"<svg/>")
    path = tmp_path / "demo.toml"
    path.write_text(TABLE, encoding="utf-8")
    return path


def test_a_table_becomes_the_job_it_describes(table: Path) -> None:
    job, waivers = unpacked_job(table)
    (piece,) = job.pieces
    (line,) = job.orders[0].lines
    assert (line.piece_id, line.sizes, line.fabric) == (piece.piece_id, (("M", 2),), "cotton")
    assert [sheet.run for sheet in job.sheets] == [1]
    assert (piece.name, piece.copies, piece.order_id) == ("Star", 2, job.orders[0].order_id)
    assert piece.width_mm == pytest.approx(3 * 25.4)
    assert (job.name, job.garment_colour, job.sheets[0].length_mm) == (
        "Small",
        "black",
        pytest.approx(22 * 25.4),
    )
    assert [(waiver.piece_id, waiver.rule) for waiver in waivers] == [(piece.piece_id, "gap")]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('art = "a.svg"', 'art = "gone.svg"', "line 11: art is “gone.svg”, which is no art beside this file"),
        ('art = "a.svg"', 'art = "../a.svg"', "line 11: art is"),
        (
            'placement = "sleeve"',
            'placement = "hat"',
            "line 13: placement is “hat”; it must be one of full",
        ),
        ('garment_size = "adult"', 'garment_size = "huge"', "line 14: garment_size"),
        (
            'garment_size = "adult"',
            'garment_size = "toddler"',
            "line 12: name does not fit the job: sleeve",
        ),
        ("copies = 2", "copies = -1", "line 12: name does not fit the job"),
        ("copies = 2", 'copies = "2"', "line 15: copies is “2”, not a whole number"),
        ("filler = false", "filler = 0", "line 16: filler"),
        ('order = "Walk"', 'order = "Run"', "line 17: order is “Run”; it must be one of Walk"),
        ('piece = "Star"\nrule', 'piece = "Moon"\nrule', "line 25: piece is “Moon”"),
        ('piece = "Star"\ngarment', 'piece = "Moon"\ngarment', "line 19: piece is “Moon”"),
        ("sizes = { M = 2 }", "sizes = 2", "line 23: sizes must be counts by garment size"),
        ("sizes = { M = 2 }", "sizes = { M = -2 }", "line 23: sizes do not fit the job"),
        ('fabric = "cotton"', "fabric = 7", "line 22: fabric is 7"),
        ('width = "11.25 in"', 'width = "11.25"', "line 5: width"),
        ('width = "11.25 in"', 'width = "0 in"', "line 4: name does not fit the job"),
        ("[[sheet]]", "[[sheets]]", "line 1: sheets is not known here|line 3: sheets|sheets is not known"),
        ("[[order]]", "[order]", "order must be blocks that begin with"),
    ],
)
def test_a_mistake_in_the_table_names_its_line(table: Path, old: str, new: str, words: str) -> None:
    assert TABLE.count(old) == 1
    table.write_text(TABLE.replace(old, new), encoding="utf-8")
    with pytest.raises(TableError, match=words) as caught:
        unpacked_job(table)
    assert str(caught.value).startswith("demo.toml")


def test_every_sample_order_gives_a_file_name_of_its_own() -> None:
    assert file_word("Moth survey night") == "moth-survey-night"
    assert file_word("../..\\x ½") == "x"
    assert file_word("夜") == "order"
    assert shipped("sample_art", "demo.toml").is_file()
