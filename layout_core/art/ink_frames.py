"""How ink maps and layers travel between the program and its worker: plain JSON values and byte strings."""

from collections.abc import Sequence
from typing import Any

import shapely
from shapely import MultiPolygon

from layout_core.art.ink_layers import InkLayers
from layout_core.art.ink_map import InkChoice, InkMap, Swatch


def packed_choice(choice: InkChoice) -> object:
    """The choice as JSON values."""
    return packed_map(choice) if isinstance(choice, InkMap) else choice


def unpacked_choice(value: Any) -> InkChoice:
    """The choice of JSON values that `packed_choice` made."""
    if isinstance(value, dict):
        return unpacked_map(value)
    return "everything" if value == "everything" else "sensible"


def packed_map(ink_map: InkMap) -> dict[str, object]:
    swatches = [[swatch.colour, swatch.area_share, swatch.prints] for swatch in ink_map.swatches]
    return {"swatches": swatches, "threshold": ink_map.threshold}


def unpacked_map(value: Any) -> InkMap:
    swatches = [
        Swatch(str(colour), float(share), bool(prints)) for colour, share, prints in value["swatches"]
    ]
    return InkMap(tuple(swatches), float(value["threshold"]))


def packed_layers(layers: InkLayers) -> tuple[dict[str, object], list[bytes]]:
    """The layers as JSON values and one byte string a swatch."""
    blobs = [bytes(shapely.to_wkb(shape, byte_order=1)) for shape in layers.shapes]
    return {**packed_map(layers.ink_map), "seam": layers.seam, "background": layers.background}, blobs


def unpacked_layers(value: Any, blobs: Sequence[bytes]) -> InkLayers:
    """The layers that `packed_layers` sent. Raises ValueError for shapes that are none."""
    shapes = [shapely.from_wkb(blob) for blob in blobs]
    multis = tuple(shape for shape in shapes if isinstance(shape, MultiPolygon))
    ink_map = unpacked_map(value)
    if len(multis) != len(ink_map.swatches):
        raise ValueError("layers and swatches differ in number")
    background = value["background"]
    return InkLayers(ink_map, multis, float(value["seam"]), None if background is None else str(background))
