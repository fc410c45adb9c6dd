"""The filling engines by name; another one only has to be a `FillEngine` and to be listed here."""

from collections.abc import Mapping
from typing import Literal, get_args

from layout_core.errors import LayoutError
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.fill import FillEngine
from layout_core.packing.shapes import fill_with_shapes

EngineName = Literal["boxes", "shapes"]
ENGINE_NAMES: tuple[EngineName, ...] = get_args(EngineName)

_ENGINES: Mapping[EngineName, FillEngine] = {"boxes": fill_with_boxes, "shapes": fill_with_shapes}


def engine_named(name: str) -> FillEngine:
    """The engine of that name. Raises LayoutError that lists the names there are."""
    for known, engine in _ENGINES.items():
        if known == name:
            return engine
    raise LayoutError(f"there is no filling engine “{name}”; use one of: {', '.join(ENGINE_NAMES)}")
