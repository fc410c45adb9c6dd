"""The filling engines by name, and what may be wished of them; each only has to be a `FillEngine`."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, get_args

from layout_core.errors import LayoutError
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.fill import FillEngine, Filling, FillSheet, MenuItem, OnBetter, unheard
from layout_core.packing.shapes import ANY_TURN, NO_TURN, fill_with_shapes
from layout_core.packing.straight import fill_with_straight_cuts
from layout_core.packing.variants import without_holes
from layout_core.progress import Progress, no_progress

EngineName = Literal["boxes", "shapes"]
ENGINE_NAMES: tuple[EngineName, ...] = get_args(EngineName)

_ENGINES: Mapping[EngineName, FillEngine] = {"boxes": fill_with_boxes, "shapes": fill_with_shapes}


@dataclass(frozen=True, slots=True)
class FillWish:
    """What the shop wants of a layout beside value.

    Without `use_holes` nothing lies in a hole, which only scissors can open. With `straight_cuts` every
    piece can be cut free by straight cuts, whatever the engine. With `any_angle` the true-shape engine
    also tries turns between quarter turns, which takes much longer to pay.
    """

    use_holes: bool = True
    straight_cuts: bool = False
    any_angle: bool = False

    @property
    def angles_deg(self) -> tuple[float, ...]:
        """The angles from its wanted turn at which a piece may be laid, quarter turns of each beside."""
        return ANY_TURN if self.any_angle and not self.straight_cuts else NO_TURN


USUAL_WISH = FillWish()


def engine_named(name: str, wish: FillWish = USUAL_WISH) -> FillEngine:
    """The engine of that name, with the wish built in. Raises LayoutError that lists the names there are."""
    for known, engine in _ENGINES.items():
        if known == name:
            return _wished(engine, wish)
    raise LayoutError(f"there is no filling engine “{name}”; use one of: {', '.join(ENGINE_NAMES)}")


def _wished(engine: FillEngine, wish: FillWish) -> FillEngine:
    if wish.straight_cuts:
        return fill_with_straight_cuts
    if wish.any_angle and engine is fill_with_shapes:
        engine = partial(fill_with_shapes, angles_deg=ANY_TURN)
    return engine if wish.use_holes else _Closed(engine)


@dataclass(frozen=True, slots=True)
class _Closed:
    """An engine that sees every hole as ink."""

    engine: FillEngine

    def __call__(
        self,
        sheet: FillSheet,
        menu: Sequence[MenuItem],
        *,
        effort_s: float = 1.0,
        progress: Progress = no_progress,
        on_better: OnBetter = unheard,
    ) -> Filling:
        closed = replace(sheet, obstacles=tuple(without_holes(each) for each in sheet.obstacles))
        items = [replace(item, outline=without_holes(item.outline)) for item in menu]
        return self.engine(closed, items, effort_s=effort_s, progress=progress, on_better=on_better)
