"""The one-click fixes on the cards of findings: what each button says, and what it does to the job."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from app.panels.finding_groups import FindingGroup
from app.wiring import Workbench
from layout_core.art.repair import Repair, RepairKind
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.fixes import Fix, fixes_for
from layout_core.checks.promise_fixes import Remedy, remedies
from layout_core.job.edits import change_piece
from layout_core.job.edits_repair import is_done
from layout_core.job.model import Job, Piece

_FOR_ALL: dict[RepairKind, str] = {
    "thicken": "Thicken all {} arts",
    "open": "Open the gaps of all {} arts",
    "close": "Fill the gaps of all {} arts",
    "specks": "Drop the specks of all {} arts",
    "pinholes": "Fill the pinholes of all {} arts",
    "solid": "Make all {} arts solid",
}


@dataclass(frozen=True, slots=True)
class CardFix:
    """One button of a card."""

    text: str
    act: Callable[[], None]


def card_fixes(bench: Workbench, group: FindingGroup) -> tuple[CardFix, ...]:
    """The fixes of a group of findings; none where nothing but a person can mend it, or it is waived."""
    piece = _piece_of(bench, group.first)
    if group.waiver is not None or piece is None:
        return ()
    if group.first.rule == "promise":
        found = _remedies(bench, piece, group.first)
        own = tuple(CardFix(remedy.text, partial(_apply, bench, piece, remedy)) for remedy in found)
        return (*own, *_promise_for_all(bench, group.first, found), *_enlarge_all(bench, group.first, found))
    fixes = _fixes(bench, piece, group.first)
    made = [CardFix(fix.text, partial(_repair, bench, piece, fix.text, fix.repair)) for fix in fixes]
    return (*made, *_for_all(bench, group.first, fixes))


def _piece_of(bench: Workbench, finding: Finding) -> Piece | None:
    """The piece whose art the finding is about; the job may have moved on since it was found."""
    if finding.sheet_id is not None:
        return None
    return next((one for one in bench.document.job.pieces if one.piece_id == finding.piece_id), None)


def _remedies(bench: Workbench, piece: Piece, finding: Finding) -> tuple[Remedy, ...]:
    misses = bench.checker.misses(piece.piece_id)
    job = bench.document.job
    is_part = finding.severity is Severity.NOTE
    found = remedies(job, piece, misses, parts=is_part, unit=bench.settings.unit)
    art = job.art(piece.art_id)
    return tuple(one for one in found if one.repair is None or not is_done(art, one.repair))


def _promise_for_all(bench: Workbench, finding: Finding, found: tuple[Remedy, ...]) -> tuple[CardFix, ...]:
    """The gentlest repair of each piece that misses the promise, where more than one art has such a one."""
    if not any(remedy.repair is not None for remedy in found):
        return ()
    wanted: dict[int, list[Repair]] = {}
    for other in _one_a_piece(bench, finding, finding.severity):
        piece = _piece_of(bench, other)
        own = () if piece is None else _remedies(bench, piece, other)
        repair = next((remedy.repair for remedy in own if remedy.repair is not None), None)
        if piece is not None and repair is not None:
            wanted.setdefault(piece.art_id, []).append(repair)
    if len(wanted) < 2:
        return ()
    text = f"Repair all {len(wanted)} arts that miss it"
    return (CardFix(text, lambda: bench.repairing.start(text, wanted)),)


def _enlarge_all(bench: Workbench, finding: Finding, found: tuple[Remedy, ...]) -> tuple[CardFix, ...]:
    """Each piece that misses the promise as wide as keeps it, where more than one can be."""
    if not any(remedy.width_mm is not None for remedy in found):
        return ()
    widths: dict[int, float] = {}
    for other in _one_a_piece(bench, finding, finding.severity):
        piece = _piece_of(bench, other)
        own = () if piece is None else _remedies(bench, piece, other)
        width_mm = next((remedy.width_mm for remedy in own if remedy.width_mm is not None), None)
        if piece is not None and width_mm is not None:
            widths[piece.piece_id] = width_mm
    if len(widths) < 2:
        return ()
    text = f"Enlarge all {len(widths)} pieces that miss it"

    def edit(job: Job) -> Job:
        for piece_id, width_mm in widths.items():
            job = change_piece(job, piece_id, width_mm=width_mm)
        return job

    def act() -> None:
        bench.document.apply(text, edit)

    return (CardFix(text, act),)


def _fixes(bench: Workbench, piece: Piece, finding: Finding) -> tuple[Fix, ...]:
    job, report = bench.document.job, bench.checker.report(piece.piece_id)
    if report is None:
        return ()
    art = job.art(piece.art_id)
    fixes = fixes_for(finding, art.artwork, report, job.limits, bench.settings.unit)
    # What a repair has left it would leave again; the next one may do better.
    return tuple(fix for fix in fixes if not is_done(art, fix.repair))


def _for_all(bench: Workbench, finding: Finding, fixes: tuple[Fix, ...]) -> tuple[CardFix, ...]:
    """One fix for every art with such a finding, each by its own sizes, where more than one has it."""
    if not fixes:
        return ()
    kind = fixes[0].repair.kind
    wanted: dict[int, list[Repair]] = {}
    for other in _one_a_piece(bench, finding):
        piece = _piece_of(bench, other)
        own = () if piece is None else _fixes(bench, piece, other)
        repairs = [fix.repair for fix in own if fix.repair.kind == kind]
        if piece is not None and repairs:
            wanted.setdefault(piece.art_id, []).extend(repairs)
    if len(wanted) < 2:
        return ()
    text = _FOR_ALL[kind].format(len(wanted))
    return (CardFix(text, lambda: bench.repairing.start(text, wanted)),)


def _one_a_piece(bench: Workbench, finding: Finding, severity: Severity | None = None) -> tuple[Finding, ...]:
    """The first open finding of the rule, and of one severity if asked, for each piece."""
    waived = {waiver.finding_key for waiver in bench.document.job.waivers}
    found: dict[int | None, Finding] = {}
    for other in bench.checker.findings:
        is_kin = other.rule == finding.rule and (severity is None or other.severity is severity)
        if is_kin and other.key not in waived:
            found.setdefault(other.piece_id, other)
    return tuple(found.values())


def _apply(bench: Workbench, piece: Piece, remedy: Remedy) -> None:
    if remedy.width_mm is not None:
        width_mm = remedy.width_mm
        bench.document.apply(
            f"Enlarge {piece.name}", lambda job: change_piece(job, piece.piece_id, width_mm=width_mm)
        )
    elif remedy.repair is not None:
        _repair(bench, piece, remedy.text, remedy.repair)


def _repair(bench: Workbench, piece: Piece, text: str, repair: Repair) -> None:
    bench.repairing.start(f"{text}: {piece.name}", {piece.art_id: [repair]})
