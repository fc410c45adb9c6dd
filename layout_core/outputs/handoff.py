"""The hand-off: everything the transfer maker, the cutter, the press and the customer need, in one folder.

Source of the fingerprint: SHA-256, FIPS 180-4.
"""

import hashlib
import json
import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import shapely

from layout_core.art.pipe import BrokenFrame, read_frame, write_frame
from layout_core.art.sandbox import WorkerMissing
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.run import CheckCache, check_job
from layout_core.errors import HandOffError
from layout_core.job.approvals import approval_state, printable_digest
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job, Order, Sheet
from layout_core.job.printing import PrintOptions
from layout_core.outputs.beside import Beside
from layout_core.outputs.cut_guide import cut_guide_pdf, cut_guide_svg
from layout_core.outputs.cut_plan import CutPlan, cut_plan
from layout_core.outputs.file_names import file_word, file_words
from layout_core.outputs.new_folder import MANIFEST, require_replaceable, whole_folder
from layout_core.outputs.order_list import order_csv, order_json
from layout_core.outputs.press_ticket import ticket_pdf
from layout_core.outputs.print_file import print_pdf, require_spots, underbase
from layout_core.outputs.proof import proof_png
from layout_core.outputs.proof_pdf import proof_pdf
from layout_core.outputs.separation import Separation, separation, separation_png, separation_tiff
from layout_core.outputs.sheet_ink import mirrored, printed_shapes, whole_ink
from layout_core.outputs.sheet_svg import sheet_svg
from layout_core.progress import Progress, StopFlag, no_progress, within

_POLL_S = 0.05
_LARGE_VERTICES = 30_000
"""Printed outlines with more points than this are worth a second process; it takes a second to start."""
_BOOT = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from layout_core.outputs.handoff import serve; serve()"
)
_SHEET_WORD = re.compile(r"^sheet\b\s*(?=\w)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class HandedOff:
    """What was written: the folder, its files in the order of the manifest, and the manifest."""

    folder: Path
    files: tuple[str, ...]
    manifest: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _File:
    """One file to come: its name, what it is for, and how it is made."""

    name: str
    what: str
    make: Callable[[Progress], bytes]
    is_painted: bool = False
    is_printing: bool = False


def open_stops(job: Job, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The stops that nobody has accepted by name and with a reason."""
    accepted = {waiver.finding_key for waiver in job.waivers}
    return tuple(one for one in findings if one.severity is Severity.STOP and one.key not in accepted)


def require_ready(job: Job, findings: Sequence[Finding], options: PrintOptions | None = None) -> None:
    """Raise HandOffError with the first reason why this job cannot be handed off."""
    options = job.printing if options is None else options
    if not any(sheet.placed for sheet in job.sheets):
        raise HandOffError(f"{job.name}: nothing lies on its sheets, so there is nothing to print")
    stops = open_stops(job, findings)
    if stops:
        first = stops[0]
        subject = "" if first.piece_id is None else f"{job.piece(first.piece_id).name}: "
        more = f", and {len(stops) - 1} more" if len(stops) > 1 else ""
        raise HandOffError(
            f"{job.name}: has an open stop ({subject}{first.message}{more}); mend it, or accept it by name "
            "with a reason"
        )
    require_spots(options)
    for sheet in _printed_sheets(job):
        separation(whole_ink({}), sheet.width_mm, sheet.length_mm, options.dpi)


def hand_off(
    job: Job,
    folder: Path,
    *,
    findings: Sequence[Finding] | None = None,
    options: PrintOptions | None = None,
    quotes: Mapping[int, bytes] | None = None,
    progress: Progress = no_progress,
) -> HandedOff:
    """Write the whole hand-off; the folder appears when every file is there, or not at all.

    `findings` are those of `check_job`, made here when left out; `quotes` holds the quote of each order that
    has one, as PDF bytes by order id. Raises HandOffError while a stop is open or
    nothing lies on a sheet, SaveError when the folder cannot be written or holds other files, TableError for
    a mistake in a table of the shop.
    """
    options = job.printing if options is None else options
    require_replaceable(folder)
    if findings is None:
        findings = check_job(job, CheckCache(), within(progress, 0.0, 0.2))
    require_ready(job, findings, options)
    files = list(_files(job, findings, options, {} if quotes is None else quotes))
    entries: dict[str, dict[str, Any]] = {}
    with whole_folder(folder) as new:
        for file, data in _made(replace(job, printing=options), files, within(progress, 0.2, 1.0)):
            new.write(file.name, data)
            entries[file.name] = {
                "file": file.name, "what": file.what, "bytes": len(data), "sha256": _digest(data)
            }  # fmt: skip
        manifest = _manifest(job, findings, options, [entries[file.name] for file in files])
        new.write(MANIFEST, json.dumps(manifest, indent=1, ensure_ascii=False).encode("utf-8") + b"\n")
    progress(1.0, "Handed off")
    return HandedOff(folder, (*(file.name for file in files), MANIFEST), manifest)


def _made(job: Job, files: Sequence[_File], progress: Progress) -> Iterator[tuple[_File, bytes]]:
    """Each file with its bytes, as they are ready: pictures, and the printer's files of a large job, are made
    by processes beside this one."""
    stop = StopFlag()
    with ThreadPoolExecutor(1) as pool, _printing(job, files) as printing:
        painted = [(file, pool.submit(file.make, stop.tick)) for file in files if file.is_painted]
        others = [file for file in files if not file.is_painted and not (printing and file.is_printing)]
        others += [file for file in files if printing and file.is_printing]
        try:
            for number, file in enumerate(others):
                tick = within(progress, number / len(files), (number + 1) / len(files))
                tick(0.0, f"Making {file.name}")
                yield file, _bytes_of(file, printing if file.is_printing else None, tick)
            for file, making in painted:
                while not wait([making], timeout=_POLL_S).done:
                    progress(len(others) / len(files), f"Making {file.name}")
                yield file, making.result()
        finally:
            stop.stop()


def _bytes_of(file: _File, printing: Beside | None, progress: Progress) -> bytes:
    if printing is not None:
        with suppress(BrokenFrame, OSError, ValueError):  # it died; then the file is made here
            header, (data,) = printing.answer(progress, 0.5, f"Making {file.name}")
            if header["name"] == file.name:
                return data
    return file.make(progress)


@contextmanager
def _printing(job: Job, files: Sequence[_File]) -> Iterator[Beside | None]:
    """The process that makes the printer's files; None for a job so small that starting it would not pay."""
    vertices = sum(
        shapely.get_num_coordinates(job.artwork_of(job.piece(placed.piece_id)).outline)
        for sheet in job.sheets
        for placed in sheet.placed
    )
    beside = None
    if vertices >= _LARGE_VERTICES:
        names = [file.name for file in files if file.is_printing]
        with suppress(WorkerMissing):
            beside = Beside(_BOOT, {"names": names}, [job_bytes(job)])
    if beside is None:
        yield None
    else:
        with beside:
            yield beside


def serve() -> None:
    """Make the printer's files of the job that standard input brings, one a frame, in the order asked."""
    requests, replies = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    header, (data,) = read_frame(requests)
    job = job_from_bytes("job", data)
    files = {file.name: file for file in _files(job, (), job.printing, {}) if file.is_printing}
    for name in header["names"]:
        write_frame(replies, {"name": name}, [files[name].make(no_progress)])


def _files(
    job: Job, findings: Sequence[Finding], options: PrintOptions, quotes: Mapping[int, bytes]
) -> Iterator[_File]:
    yield _File(
        "proof.png",
        "layout proof of the whole job, for the shop",
        lambda tick: proof_png(job, findings, progress=tick),
        is_painted=True,
    )
    yield _File(
        "proof.pdf", "layout proof of the whole job, for the shop", lambda _: proof_pdf(job, findings)
    )
    orders = file_words(((order.order_id, order.name) for order in job.orders), "order")
    for order in job.orders:
        yield _order_proof(job, findings, order, orders[order.order_id])
        if order.order_id in quotes:
            yield _quote(order, orders[order.order_id], quotes[order.order_id])
    plans: dict[int, CutPlan] = {}

    def plan_of(sheet: Sheet, progress: Progress) -> CutPlan:
        if sheet.sheet_id not in plans:
            plans[sheet.sheet_id] = cut_plan(job, sheet, progress)
        return plans[sheet.sheet_id]

    sheets = file_words(((sheet.sheet_id, _SHEET_WORD.sub("", sheet.name)) for sheet in job.sheets), "sheet")
    for sheet in _printed_sheets(job):
        for file in _sheet_files(job, sheet, sheets[sheet.sheet_id], options, plan_of):
            yield replace(file, is_printing=True)
    yield _File(
        "ticket.pdf",
        "press ticket: what to cut, where to lay it, how to press it",
        lambda tick: ticket_pdf(job, [plan_of(sheet, tick) for sheet in _printed_sheets(job)]),
        is_printing=True,
    )
    yield _File("order.csv", "order list and pick list, for a spreadsheet", lambda _: order_csv(job))
    yield _File("order.json", "order list and pick list, for a program", lambda _: order_json(job))


def _sheet_files(
    job: Job, sheet: Sheet, word: str, options: PrintOptions, plan_of: Callable[[Sheet, Progress], CutPlan]
) -> Iterator[_File]:
    name = sheet.name

    def plan(progress: Progress) -> CutPlan:
        return plan_of(sheet, progress)

    yield _File(
        f"print-{word}.pdf",
        f"print file of {name}: vectors in named spot colours, true size",
        lambda tick: print_pdf(job, sheet, options, tick, plan(tick) if options.has_cut_lines else None),
    )
    for spot, plate in _plates(job, sheet, options):
        yield from _plate_files(
            f"plate-{word}-{file_word(spot, 'ink')}", f"{spot} plate of {name}", plate, options
        )
    yield _File(
        f"sheet-{word}.svg", f"{name} as SVG at true size", lambda _: sheet_svg(job, sheet, options.ink_spot)
    )
    yield _File(f"cut-{word}.pdf", f"cut guide of {name}", lambda tick: cut_guide_pdf(job, sheet, plan(tick)))
    yield _File(
        f"cut-{word}.svg",
        f"cut lines of {name} at true size",
        lambda tick: cut_guide_svg(sheet, plan(tick)),
    )


def _order_proof(job: Job, findings: Sequence[Finding], order: Order, word: str) -> _File:
    return _File(
        f"proof-{word}.pdf",
        f"layout proof of the order {order.name}, for its customer to sign",
        lambda _: proof_pdf(job, findings, order_id=order.order_id),
    )


def _quote(order: Order, word: str, data: bytes) -> _File:
    return _File(f"quote-{word}.pdf", f"quote of the order {order.name}, for its customer", lambda _: data)


def _plate_files(
    stem: str, about: str, plate: Callable[[], Separation], options: PrintOptions
) -> Iterator[_File]:
    what = f"{about}, 1 bit, {options.dpi:g} dpi, ink black"
    yield _File(f"{stem}.png", what, lambda tick: separation_png(plate(), tick))
    yield _File(f"{stem}.tif", what, lambda tick: separation_tiff(plate(), tick))


def _plates(job: Job, sheet: Sheet, options: PrintOptions) -> Iterator[tuple[str, Callable[[], Separation]]]:
    """The spot name of each plate, and how its separation is made."""

    def plate(*, is_under: bool) -> Separation:
        ink = whole_ink(printed_shapes(job, sheet))
        area = underbase(ink, options.choke_mm) if is_under else ink
        area = mirrored(area, sheet.width_mm) if options.is_mirrored else area
        return separation(area, sheet.width_mm, sheet.length_mm, options.dpi)

    yield options.ink_spot, lambda: plate(is_under=False)
    if options.has_underbase:
        yield options.under_spot, lambda: plate(is_under=True)


def _manifest(
    job: Job, findings: Sequence[Finding], options: PrintOptions, entries: list[dict[str, Any]]
) -> dict[str, Any]:
    waivers = {waiver.finding_key: waiver for waiver in job.waivers}
    names = {order.order_id: order.name for order in job.orders}
    return {
        "job": job.name,
        "revision": job.revision,
        "printable_sha256": printable_digest(job),
        "ink": job.ink_name,
        "spots": {
            "ink": options.ink_spot,
            "underbase": options.under_spot if options.has_underbase else None,
            "cut_lines": options.cut_spot if options.has_cut_lines else None,
            "is_mirrored": options.is_mirrored,
            "choke_mm": options.choke_mm if options.has_underbase else None,
            "plate_dpi": options.dpi,
        },
        "sheets": [
            {"sheet": sheet.name, "count": sheet.run, "pieces_on_each": len(sheet.placed)}
            for sheet in _printed_sheets(job)
        ],
        "accepted_stops": [
            {"finding": one.message, "who": waivers[one.key].who, "reason": waivers[one.key].reason}
            for one in findings
            if one.severity is Severity.STOP and one.key in waivers
        ],
        "approvals": [
            {
                "of": "the whole job" if one.order_id is None else names[one.order_id],
                "who": one.who,
                "signed_on": one.signed_on,
                "printable_sha256": one.digest,
                "state": approval_state(job, one.order_id),
            }
            for one in job.approvals
        ],
        "files": entries,
    }


def _printed_sheets(job: Job) -> tuple[Sheet, ...]:
    return tuple(sheet for sheet in job.sheets if sheet.placed)


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
