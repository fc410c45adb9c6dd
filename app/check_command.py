"""What `duskwright check` does with each art it is given."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.promise_report import PromiseReport
from app.reports import check_document, check_lines, has_stop
from layout_core.art.intake import read_art
from layout_core.art.outline_svg import outline_svg
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


def check_arts(
    arts: Sequence[Path],
    width_mm: float,
    limits: PrintLimits,
    outline: Path | None,
    progress: Progress,
    lighting: Lighting | None = None,
) -> tuple[list[Checked], list[DuskwrightError]]:
    """Each art that can be read, checked at the width, and the errors of the others, both in their order.

    With `outline` the shapes of each art at that width are written there; with a lighting, the promise that
    it holds is judged too.
    """
    checked: list[Checked] = []
    errors: list[DuskwrightError] = []
    for number, path in enumerate(arts):
        tick = within(progress, number / len(arts), (number + 1) / len(arts))
        try:
            checked.append(_checked(path, width_mm, limits, outline, tick, lighting))
        except DuskwrightError as error:
            errors.append(error)
    return checked, errors


def _checked(
    path: Path,
    width_mm: float,
    limits: PrintLimits,
    outline: Path | None,
    progress: Progress,
    lighting: Lighting | None,
) -> Checked:
    progress(0.0, f"Reading {path.name}")
    artwork = read_art(path, within(progress, 0.0, 0.5))
    report = check_artwork(artwork, width_mm, limits, progress=within(progress, 0.5, 0.8))
    if outline is not None:
        write_whole(outline, outline_svg(at_width(artwork.outline, width_mm)))
    name = str(path)
    document, lines = check_document(name, artwork, report), check_lines(name, artwork, report)
    if lighting is not None:
        promised = PromiseReport(artwork, width_mm, lighting, within(progress, 0.8, 1.0))
        document["promise"] = promised.document()
        lines += promised.lines()
    return Checked(document, lines, has_stop([report]))
