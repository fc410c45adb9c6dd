"""What a conversion yields inside the worker, before it becomes an `Artwork`."""

from dataclasses import dataclass

from shapely import MultiPolygon

from layout_core.art.artwork import Route
from layout_core.art.ink_layers import InkLayers
from layout_core.art.ink_map import InkMap
from layout_core.art.sniff import Kind


@dataclass(frozen=True, slots=True)
class Converted:
    """One-ink shapes in mm, wherever they lie on their page; the fields are those of `Artwork`.

    `layers`, only where they were asked for, lie in the same unit and frame as the outline.
    """

    suffix: Kind
    outline: MultiPolygon
    size_known: bool
    route: Route
    ink_width_px: float | None
    notes: tuple[str, ...]
    ink_map: InkMap
    layers: InkLayers | None = None
