"""The sample job: reads sample_art/demo.toml, lays it out, checks it, writes what a shop would keep of it."""

import json
import re
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from app.quote_files import planned_quotes
from app.reports import check_document, finding_document
from layout_core.art.artwork import Artwork
from layout_core.art.intake import read_art
from layout_core.art.sandbox import SHARED, Sandbox
from layout_core.checks.findings import Finding
from layout_core.checks.run import CheckCache, check_job, piece_report
from layout_core.errors import GlowError, LayoutError, SaveError
from layout_core.files import write_whole
from layout_core.glow.afterglow import LAMPS
from layout_core.glow.promise_text import parse_promise
from layout_core.glow.scene import usual_lighting
from layout_core.glow.venue import load_venues
from layout_core.job import edits
from layout_core.job.file import write_job
from layout_core.job.lighting import Charge
from layout_core.job.model import Job, OrderLine
from layout_core.job.placements import GARMENT_SIZES, load_placements
from layout_core.outputs.handoff import hand_off
from layout_core.packing.autopack import autopack
from layout_core.progress import Progress, no_progress, within
from layout_core.shipped import shipped
from layout_core.tables import Section, read_table, repeated

_HEAD_KEYS = ("name", "garment_colour", "light", "sheet", "order", "piece", "line", "waiver")
_PIECE_KEYS = ("art", "name", "placement", "garment_size", "copies", "filler", "order")
_ART_NAME = re.compile(r"[\w-]+\.(svg|svgz|pdf|png|jpg|jpeg)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class DemoWaiver:
    """Who accepts every finding of a rule on a piece, and why."""

    piece_id: int
    rule: str
    who: str
    reason: str


def demo_job(progress: Progress = no_progress) -> Job:
    """The sample job, laid out, with its accepted findings; the art is read in the worker process.

    Raises TableError for a mistake in demo.toml and ArtError for art that cannot be read.
    """
    return _demo_job(progress, CheckCache())


def write_demo(folder: Path, progress: Progress = no_progress) -> tuple[Path, ...]:
    """Build the sample job and write it, its proofs, its findings and its hand-off; the paths written.

    Files of an earlier run are replaced. Raises SaveError and what `demo_job` raises.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "unknown").lower()
        raise SaveError(f"{folder}: this folder cannot be made ({reason})") from error
    cache = CheckCache()
    job = _demo_job(within(progress, 0.0, 0.7), cache)
    findings = check_job(job, cache, within(progress, 0.7, 0.75))
    written = [folder / "demo.duskjob", folder / "check.json"]
    write_job(written[0], job)
    write_whole(written[1], _check_bytes(job, findings, cache))
    quotes = planned_quotes(job, within(progress, 0.75, 0.8))
    handed = hand_off(
        job, folder / "hand-off", findings=findings, quotes=quotes, progress=within(progress, 0.8, 1.0)
    )
    written.append(folder / "proof.png")
    write_whole(written[-1], (handed.folder / "proof.png").read_bytes())
    return (*written, *(handed.folder / name for name in handed.files))


def unpacked_job(table: Path, progress: Progress = no_progress) -> tuple[Job, tuple[DemoWaiver, ...]]:
    """The job that a demo.toml describes, nothing laid out yet, and what its customers accept.

    The art lies beside the table. Raises TableError that names the line, and ArtError.
    """
    head = Section(table, "", read_table(table))
    head.only(_HEAD_KEYS)
    job = edits.set_garment_colour(edits.new_job(head.text("name")), head.text("garment_colour"))
    for block in repeated(head, "light"):
        job = _with_light(job, block)
    job = _with_sheets(job, repeated(head, "sheet"))
    orders: dict[str, int] = {}
    for block in repeated(head, "order"):
        block.only(("name", "customer"))
        orders[block.text("name")] = job.next_id
        job = edits.add_order(job, block.text("name"), block.text("customer"))
    blocks = repeated(head, "piece")
    artworks = _artworks(blocks, progress)
    art_ids: dict[str, int] = {}
    for name, artwork in artworks.items():
        art_ids[name] = job.next_id
        job = edits.add_art(job, artwork)
    for block in blocks:
        job = _with_piece(job, block, art_ids, orders)
    pieces = {piece.name: piece.piece_id for piece in job.pieces}
    job = _with_lines(job, repeated(head, "line"), pieces)
    return job, tuple(_waiver(block, pieces) for block in repeated(head, "waiver"))


def _demo_job(progress: Progress, cache: CheckCache) -> Job:
    job, waivers = unpacked_job(shipped("sample_art", "demo.toml"), within(progress, 0.0, 0.4))
    job = autopack(job, progress=within(progress, 0.4, 0.8)).job
    findings = check_job(job, cache, within(progress, 0.8, 1.0))
    for waiver in waivers:
        for finding in findings:
            if (finding.piece_id, finding.rule) == (waiver.piece_id, waiver.rule):
                job = edits.waive(job, finding.key, waiver.who, waiver.reason)
    return job


def _with_light(job: Job, block: Section) -> Job:
    """The job with this charge and promise, in the shop's usual ink; a second block replaces the first."""
    block.only(("lamp", "illuminance_lx", "minutes", "at_a_glance", "promise"))
    charge = Charge(block.choice("lamp", LAMPS), block.number("illuminance_lx"), block.number("minutes"))
    try:
        promise, venue = parse_promise(block.text("promise"), load_venues())
    except GlowError as error:
        raise block.mistake("promise", f"is none: {error}") from error
    lighting = replace(
        usual_lighting(), charge=charge, venue=venue, promise=promise, at_a_glance=block.flag("at_a_glance")
    )
    try:
        return edits.set_lighting(job, lighting)
    except LayoutError as error:
        raise block.mistake("lamp", f"is in a light that cannot be: {error}") from error


def _with_sheets(job: Job, blocks: tuple[Section, ...]) -> Job:
    """The job with exactly these sheets; the first block describes the sheet a new job has."""
    for block in blocks:
        block.only(("name", "width", "length", "run"))
        sizes = {
            "width_mm": block.length_mm("width"),
            "length_mm": block.length_mm("length"),
            "run": block.whole("run") if "run" in block.values else 1,
        }
        try:
            if block.nth == 0:
                job = edits.change_sheet(job, job.sheets[0].sheet_id, name=block.text("name"), **sizes)
            else:
                sheet_id, run = job.next_id, sizes.pop("run")
                job = edits.add_sheet(job, name=block.text("name"), **sizes)
                job = edits.change_sheet(job, sheet_id, run=run)
        except LayoutError as error:
            raise block.mistake("name", f"does not fit the job: {error}") from error
    return job


def _artworks(blocks: tuple[Section, ...], progress: Progress) -> Mapping[str, Artwork]:
    """Each art named by a piece, read once, in the order of the pieces."""
    first_with: dict[str, Section] = {}
    for block in blocks:
        block.only(_PIECE_KEYS)
        first_with.setdefault(block.text("art"), block)
    for name, block in first_with.items():
        if not _ART_NAME.fullmatch(name) or not (block.path.parent / name).is_file():
            raise block.mistake("art", f"is “{name[:40]}”, which is no art beside this file")
    return _read_side_by_side([block.path.parent / name for name, block in first_with.items()], progress)


def _read_side_by_side(paths: Sequence[Path], progress: Progress) -> dict[str, Artwork]:
    """The art of each path by file name, in the order given; two worker processes share the reading."""
    with ThreadPoolExecutor(2) as pool, closing(Sandbox()) as second:
        sandboxes = (SHARED, second)
        readings = [
            pool.submit(read_art, path, sandbox=sandboxes[number % 2]) for number, path in enumerate(paths)
        ]
        artworks: dict[str, Artwork] = {}
        try:
            for number, (path, reading) in enumerate(zip(paths, readings, strict=True)):
                progress(number / len(paths), f"Reading {path.name}")
                artworks[path.name] = reading.result()
        finally:
            pool.shutdown(cancel_futures=True)
    return artworks


def _with_piece(job: Job, block: Section, art_ids: Mapping[str, int], orders: Mapping[str, int]) -> Job:
    order_id = None
    if "order" in block.values:
        order_id = orders[block.choice("order", orders)]
    try:
        return edits.add_piece(
            job,
            art_ids[block.text("art")],
            name=block.text("name"),
            placement=block.choice("placement", [placement.key for placement in load_placements()]),
            garment_size=block.choice("garment_size", GARMENT_SIZES),
            copies=block.whole("copies"),
            filler=block.flag("filler"),
            order_id=order_id,
        )
    except LayoutError as error:
        raise block.mistake("name", f"does not fit the job: {error}") from error


def _with_lines(job: Job, blocks: tuple[Section, ...], pieces: Mapping[str, int]) -> Job:
    """The job whose orders ask for these garments; each line belongs to the order of its piece."""
    lines: dict[int, list[OrderLine]] = {}
    for block in blocks:
        block.only(("piece", "garment", "garment_colour", "fabric", "sizes"))
        piece = job.piece(pieces[block.choice("piece", pieces)])
        sizes = block.value("sizes")
        if piece.order_id is None or not isinstance(sizes, dict):
            raise block.mistake("sizes", "must be counts by garment size, for a piece of an order")
        line = OrderLine(
            0,
            piece.piece_id,
            block.text("garment"),
            block.text("garment_colour"),
            tuple(sizes.items()),
            block.text("fabric"),
        )
        lines.setdefault(piece.order_id, []).append(line)
    for order_id, own in lines.items():
        try:
            job = edits.set_order_lines(job, order_id, own)
        except LayoutError as error:
            raise blocks[0].mistake("sizes", f"do not fit the job: {error}") from error
    return job


def _waiver(block: Section, pieces: Mapping[str, int]) -> DemoWaiver:
    block.only(("piece", "rule", "who", "reason"))
    piece_id = pieces[block.choice("piece", pieces)]
    return DemoWaiver(piece_id, block.text("rule"), block.text("who"), block.text("reason"))


def _check_bytes(job: Job, findings: tuple[Finding, ...], cache: CheckCache) -> bytes:
    """check.json: each piece at its size as `check` prints it, the findings of the layout, then all others.

    The others are of the job: the promise, the light, the fabrics, each with its piece if it has one.
    """
    pieces: list[dict[str, Any]] = []
    told: set[tuple[int | None, str]] = set()
    for piece in job.pieces:
        report = piece_report(job, piece, cache)
        told |= {(piece.piece_id, finding.rule) for finding in report.findings}
        pieces.append(
            {"piece": piece.name, **check_document(job.artwork_of(piece).name, job.artwork_of(piece), report)}
        )
    layout = [
        {"sheet": job.sheet(finding.sheet_id).name, **finding_document(finding)}
        for finding in findings
        if finding.sheet_id is not None
    ]
    others = [
        {"piece": None if f.piece_id is None else job.piece(f.piece_id).name, **finding_document(f)}
        for f in findings
        if f.sheet_id is None and (f.piece_id, f.rule) not in told
    ]
    return json.dumps({"pieces": pieces, "layout": layout, "job": others}, indent=1).encode() + b"\n"
