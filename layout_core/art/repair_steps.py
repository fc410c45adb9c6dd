"""The steps of repairs on a bare outline, and the sentences that say what each has done."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shapely import MultiPolygon

from layout_core.geometry.filling import knocked_out, made_solid, rimmed, without_pinholes, without_specks
from layout_core.geometry.mending import closed, opened, thickened
from layout_core.geometry.thickness import Spot, firm_limit_mm, narrow_gaps, pinholes, specks, thin_spots
from layout_core.progress import Progress, within
from layout_core.units import write_length

SAME_WIDTH_SHARE = 0.01
"""A piece keeps its width while the art's grows or shrinks by less; a pen draws wider than that."""

ROUNDS = 3
"""How often lines and gaps are gone over at most: opening a gap may thin a line, and the other way round."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """A repair's kind and lengths as printed (mm), and how much larger than printed the outline is."""

    kind: str
    limit_mm: float
    keep_mm: float
    scale: float

    @property
    def limit(self) -> float:
        return self.limit_mm * self.scale

    @property
    def keep(self) -> float:
        return self.keep_mm * self.scale

    @property
    def below(self) -> float:
        """What is narrower is too narrow by more than tracing and flattening may shift an edge.

        A little wider than what a check finds fault with: strokes that grow at the edge of the art make it
        wider, and a piece that keeps its width shrinks all else.
        """
        if not self.limit_mm:
            return 0.0
        return min(firm_limit_mm(self.limit_mm) * (1.0 + SAME_WIDTH_SHARE), self.limit_mm) * self.scale

    @property
    def firm(self) -> float:
        """What a check finds fault with; a waist between blunt corners may show here and not just above."""
        return firm_limit_mm(self.limit_mm) * self.scale

    @property
    def words(self) -> str:
        return write_length(self.limit_mm)


def repaired_outline(
    outline: MultiPolygon, steps: Sequence[Sizes], progress: Progress
) -> tuple[MultiPolygon, tuple[str, ...]]:
    """The outline after the steps, in the same frame, and a sentence for each that changed anything."""
    notes: list[str] = []
    areas = [step for step in steps if step.kind in _AREAS]
    strokes = {step.kind: step for step in steps if step.kind not in _AREAS}
    for number, step in enumerate(areas):
        progress(0.2 * number / len(areas), "Repairing")
        changed = _AREAS[step.kind](outline, step)
        if changed is not outline:
            notes.append(_said(step, outline, changed))
        outline = changed
    if strokes and not outline.is_empty:
        outline, told = _with_strokes(outline, strokes, within(progress, 0.2, 1.0))
        notes += told
    return outline, tuple(notes)


_AREAS: dict[str, Callable[[MultiPolygon, Sizes], MultiPolygon]] = {
    "specks": lambda outline, step: without_specks(outline, step.below),
    "pinholes": lambda outline, step: without_pinholes(outline, step.below),
    "solid": lambda outline, step: made_solid(outline),
    "outline": lambda outline, step: knocked_out(outline, step.limit, step.keep),
    "thin": lambda outline, step: rimmed(outline, step.limit, step.keep),
}


def _said(step: Sizes, before: MultiPolygon, after: MultiPolygon) -> str:
    if step.kind == "specks":
        return f"Dropped {counted(len(specks(before, step.below)), 'speck')} below {step.words}"
    if step.kind == "pinholes":
        return f"Filled {counted(len(pinholes(before, step.below)), 'pinhole')} below {step.words}"
    if step.kind == "solid":
        return f"Made solid: {counted(_holes(before) - _holes(after), 'counter')} filled"
    if step.kind == "outline":
        return f"Made solid behind a knock-out line of {step.words}"
    return f"Thinned to a rim of {step.words}"


def _holes(outline: MultiPolygon) -> int:
    return sum(len(part.interiors) for part in outline.geoms)


def _with_strokes(
    outline: MultiPolygon, steps: dict[str, Sizes], progress: Progress
) -> tuple[MultiPolygon, list[str]]:
    thicken, gaps, close = steps.get("thicken"), steps.get("open"), steps.get("close")
    lines_before = _lines(outline, thicken, within(progress, 0.0, 0.1))
    gaps_before = _gaps(outline, gaps or close, within(progress, 0.1, 0.2))
    lines_left, gaps_left = lines_before, gaps_before
    for number in range(ROUNDS):
        tick = within(progress, 0.2 + 0.2 * number, 0.4 + 0.2 * number)
        before = outline
        if thicken is not None:
            outline = thickened(outline, thicken.limit, within(tick, 0.0, 0.3), below_mm=thicken.below)
            if outline is before and lines_left:
                outline = thickened(outline, thicken.limit, within(tick, 0.3, 0.4), below_mm=thicken.firm)
        if gaps is not None:
            keep = max(gaps.keep, 0.0 if thicken is None else thicken.limit)
            outline = opened(outline, gaps.limit, keep, within(tick, 0.4, 0.8), below_mm=gaps.below)
        if outline is before:
            break
        told = lines_left, gaps_left
        lines_left = _lines(outline, thicken, within(tick, 0.8, 0.9))
        gaps_left = _gaps(outline, gaps, within(tick, 0.9, 1.0))
        if not lines_left and (not gaps_left or (lines_left, gaps_left) == told):
            break
    notes = _stroke_notes(thicken, gaps, (lines_before, lines_left), (gaps_before, gaps_left))
    if close is not None:
        before = outline
        outline = closed(outline, close.limit, within(progress, 0.8, 1.0), below_mm=close.below)
        if outline is not before:
            left = gaps_left if gaps is not None else gaps_before
            notes.append(f"Filled {counted(left, 'gap')} narrower than {close.words}")
    return outline, notes


def _stroke_notes(
    thicken: Sizes | None, gaps: Sizes | None, lines: tuple[int, int], ground: tuple[int, int]
) -> list[str]:
    notes: list[str] = []
    if thicken is not None and lines[0]:
        notes.append(f"Thickened {counted(lines[0], 'thin place')} to {thicken.words}{_rest(lines[1])}")
    if gaps is not None and ground[0]:
        done = max(ground[0] - ground[1], 0)
        rest = f"; {counted(ground[1], 'gap')} left, with no room between the strokes" if ground[1] else ""
        notes.append(f"Opened {counted(done, 'gap')} to {gaps.words}{rest}")
    return notes


def _rest(count: int) -> str:
    return f"; {counted(count, 'thin place')} left" if count else ""


def _lines(outline: MultiPolygon, step: Sizes | None, progress: Progress) -> int:
    if step is None:
        return 0
    return _count(thin_spots, ("line", "neck"), outline, step, progress)


def _gaps(outline: MultiPolygon, step: Sizes | None, progress: Progress) -> int:
    if step is None:
        return 0
    return _count(narrow_gaps, ("sliver", "bridge"), outline, step, progress)


def _count(
    find: Callable[[MultiPolygon, float, Progress], tuple[Spot, ...]],
    kinds: tuple[str, str],
    outline: MultiPolygon,
    step: Sizes,
    progress: Progress,
) -> int:
    """How many places of the kinds there are, also by what a check will look for once the repair is done."""
    for below, tick in (
        (step.below, within(progress, 0.0, 0.5)),
        (step.firm, within(progress, 0.5, 1.0)),
    ):
        count = sum(spot.kind in kinds for spot in find(outline, below, tick))
        if count:
            return count
    return 0


def counted(count: int, word: str) -> str:
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
