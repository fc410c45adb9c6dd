"""What `duskwright check` does with each art it is given."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.ink_report import NO_WISHES, InkWishes, ink_document, ink_lines, read_as_wished
from app.promise_report import PromiseReport
from app.reports import check_document, check_lines, has_stop
from layout_core.art.outline_svg import outline_svg
from layout_core.art.repair import RepairKind, repaired, width_after_mm
from layout_core.checks.fixes import repairs_of
from layout_core.checks.run import check_artwork
from layout_core.errors import DuskwrightError
from layout_core.files import write_whole
from layout_core.geometry.pose import at_width
from layout_core.job.lighting import Lighting
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, within


@dataclass(frozen=True, slots=True)
class Checked:
    """What is printed of one art."""

    document: dict[str, Any]
    lines: list[str]
    has_stop: bool


@dataclass(frozen=True, slots=True)
class Wanted:
    """At which width and limits art is checked, what is repaired first, and where its shapes are written."""

    width_mm: float
    limits: PrintLimits
    outline: Path | None = None
    fixes: tuple[RepairKind, ...] = ()
    lighting: Lighting | None = None
    inks: InkWishes = NO_WISHES


def check_arts(
    arts: Sequence[Path], wanted: Wanted, progress: Progress
) -> tuple[list[Checked], list[DuskwrightError]]:
    """Each art that can be read, checked as wanted, and the errors of the others, both in their order.

    With fixes the repaired art is what is checked and written.
    """
    checked: list[Checked] = []
    errors: list[DuskwrightError] = []
    for number, path in enumerate(arts):
        tick = within(progress, number / len(arts), (number + 1) / len(arts))
        try:
            checked.append(_checked(path, wanted, tick))
        except DuskwrightError as error:
            errors.append(error)
    return checked, errors


def _checked(path: Path, wanted: Wanted, progress: Progress) -> Checked:
    progress(0.0, f"Reading {path.name}")
    artwork, ink_map = read_as_wished(path, wanted.inks, within(progress, 0.0, 0.3))
    width_mm = wanted.width_mm
    if wanted.fixes:
        as_read, repairs = artwork, repairs_of(wanted.fixes, width_mm, wanted.limits)
        artwork = repaired(as_read, repairs, within(progress, 0.3, 0.6))
        width_mm = width_after_mm(as_read, artwork, width_mm)
    report = check_artwork(artwork, width_mm, wanted.limits, progress=within(progress, 0.6, 0.8))
    if wanted.outline is not None:
        write_whole(wanted.outline, outline_svg(at_width(artwork.outline, width_mm)))
    name = str(path)
    document, lines = check_document(name, artwork, report), check_lines(name, artwork, report)
    if ink_map is not None:
        document["inks"] = ink_document(ink_map)
        lines[1:1] = ink_lines(ink_map)
    if wanted.fixes:
        document["repairs"] = list(artwork.notes[len(as_read.notes) :])
    if wanted.lighting is not None:
        promised = PromiseReport(artwork, width_mm, wanted.lighting, within(progress, 0.8, 1.0))
        document["promise"] = promised.document()
        lines += promised.lines()
    return Checked(document, lines, has_stop([report]))
