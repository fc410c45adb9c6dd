"""The visibility of a piece over time: to which distance it reads, is seen as a shape, and is gone."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from layout_core.art.artwork import Artwork
from layout_core.glow.elements import Elements, Patches, measured_elements
from layout_core.glow.scene import Scene, scene_of, usual_lighting
from layout_core.glow.visibility import COMFORT, Sight, detected_m, legible_m, sight
from layout_core.job.lighting import Charge, Ink, Venue
from layout_core.job.model import Job, Piece

Floats = NDArray[np.float64]

MOST_OF_THE_INK = 0.9
"""A piece reads as far as elements with this share of its ink do; a stray speck does not decide. Invented."""


@dataclass(frozen=True, slots=True)
class ElementBands:
    """One row an element, one column a moment: distances in m, 0 where never."""

    minutes: Floats
    reads_m: Floats
    seen_m: Floats


@dataclass(frozen=True, slots=True)
class Bands:
    """One entry a moment: to `reads_m` the piece reads, to `shape_m` it is seen as a shape, then gone.

    To `detail_m` its detail is coarse enough; where that is more than `reads_m`, light is what it lacks.
    """

    minutes: Floats
    luminance_mcd_m2: Floats
    reads_m: Floats
    shape_m: Floats
    detail_m: Floats


def element_bands(elements: Elements, scene: Scene, minutes: Sequence[float] | Floats) -> ElementBands:
    """How far each element reads (its detail at ease), and is seen, alone or merged with its neighbours."""
    eye = sight(scene, minutes)
    seen = _reach_m(elements.patches, eye)[: len(elements)]
    reads = np.minimum(legible_m(elements.detail_mm[:, None], eye), seen)
    return ElementBands(eye.minutes, reads, seen)


def scene_bands(elements: Elements, scene: Scene, minutes: Sequence[float] | Floats) -> Bands:
    """The bands of a whole piece in a scene."""
    each = element_bands(elements, scene, minutes)
    reads = _reached_by(each.reads_m, elements.area_mm2, MOST_OF_THE_INK)
    fine = elements.detail_mm[:, None] / 1e3 / (COMFORT * sight(scene, each.minutes).angle_rad)
    detail = _reached_by(fine, elements.area_mm2, MOST_OF_THE_INK)
    light = scene.luminance_cd_m2(each.minutes) * 1000.0
    return Bands(each.minutes, light, reads, each.seen_m.max(axis=0), detail)


def visibility_bands(
    elements: Elements,
    ink: Ink,
    charge: Charge,
    venue: Venue,
    minutes: Sequence[float] | Floats,
) -> Bands:
    """The bands of a piece on dark cloth, for any ink, charge and venue; `scene_bands` takes the rest too."""
    return scene_bands(elements, Scene(ink, charge, venue.background_cd_m2), minutes)


@lru_cache(maxsize=256)
def natural_elements(artwork: Artwork) -> Elements:
    """The elements of art at its natural size, measured once."""
    return measured_elements(artwork.outline)


def piece_elements(job: Job, piece: Piece) -> Elements:
    """The elements of a piece at its size."""
    artwork = job.artwork_of(piece)
    return natural_elements(artwork).scaled(piece.width_mm / artwork.width_mm)


def piece_scene(job: Job, piece: Piece) -> Scene:
    """The scene of a piece: the job's lighting, or the usual one, on the piece's first garment colour.

    Raises TableError when the job states no lighting and a table has a mistake.
    """
    lighting = usual_lighting() if job.lighting is None else job.lighting
    return scene_of(lighting, garment_colours(job, piece)[0])


def garment_colours(job: Job, piece: Piece) -> tuple[str, ...]:
    """The colours of the garments a piece goes on, as its order lines say; else the job's."""
    lines = (line for order in job.orders for line in order.lines if line.piece_id == piece.piece_id)
    return tuple(dict.fromkeys(line.garment_colour or job.garment_colour for line in lines)) or (
        job.garment_colour,
    )


def _reach_m(patches: Patches, eye: Sight) -> Floats:
    """From how far each patch is seen, as itself or as part of what it merges into."""
    own = detected_m(patches.area_mm2[:, None], patches.breadth_mm[:, None], eye)
    born = patches.born_gap_mm[:, None] / 1e3 / eye.angle_rad
    has_parent = patches.parent >= 0
    ends = np.full(born.shape, np.inf)
    ends[has_parent] = born[patches.parent[has_parent]]
    reach = np.where(own >= born, np.minimum(own, ends), 0.0)
    # mergers come after their parts, so from the last back each parent is known before its children
    for patch in range(len(reach) - 2, -1, -1):
        np.maximum(reach[patch], reach[patches.parent[patch]], out=reach[patch])
    return reach


def _reached_by(distance_m: Floats, weight: Floats, share: float) -> Floats:
    """For each column the distance that rows with that share of the weight reach."""
    order = np.argsort(-distance_m, axis=0, kind="stable")
    gathered = np.cumsum(weight[order], axis=0)
    enough = gathered >= share * weight.sum() * (1.0 - 1e-9)
    row = enough.argmax(axis=0)
    found: Floats = np.take_along_axis(distance_m, order, axis=0)[row, np.arange(distance_m.shape[1])]
    return found
