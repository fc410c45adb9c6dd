"""Flat outlines of garments for placement sketches: cloth, seams, and the levels prints are measured from.

Frame: mm, x from the garment's middle line (to the right as seen), y down from its highest seam.
Every size and shape is from memory, drawn here, and stands for a kind of garment, not for one maker's.
"""

from dataclasses import dataclass

from layout_core.outputs.drawing import Run
from layout_core.units import mm

Runs = tuple[Run, ...]

_TEE = {"toddler": (12.5, 16.0), "youth": (17.0, 22.0), "adult": (22.0, 30.0), "plus": (26.0, 32.0)}
_HOODIE = {"toddler": (13.0, 15.0), "youth": (18.0, 22.0), "adult": (22.0, 27.0), "plus": (27.0, 30.0)}
_TROUSERS = {"toddler": (7.5, 20.0), "youth": (10.0, 32.0), "adult": (12.8, 41.0), "plus": (15.5, 42.0)}
_SLEEVE = {"toddler": (8.0, 5.5), "youth": (11.0, 8.0), "adult": (14.0, 10.6), "plus": (16.0, 11.5)}
_LONG_SLEEVE = {"toddler": (6.0, 13.0), "youth": (8.0, 19.5), "adult": (9.2, 25.0), "plus": (10.8, 26.0)}
"""Flat width and length in inches by garment size; from memory."""


@dataclass(frozen=True, slots=True)
class Garment:
    """One view of a garment, in mm. `behind` is cloth further back, `levels` the y of each seam."""

    cloth: Runs
    behind: Runs
    seams: tuple[Runs, ...]
    levels: dict[str, float]
    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float


def garment(kind: str, side: str, garment_size: str) -> Garment:
    """The view a placement is drawn on; an unknown kind is drawn as a tee, an unknown size as adult."""
    if kind == "short sleeve":
        return _scaled(_SHORT_SLEEVE, (14.0, 10.6), _SLEEVE, garment_size)
    if kind == "long sleeve":
        return _scaled(_LONG_SLEEVE_SHAPE, (9.2, 25.0), _LONG_SLEEVE, garment_size)
    if kind == "trousers":
        return _scaled(_LEG, (12.8, 41.0), _TROUSERS, garment_size)
    if kind == "hoodie":
        return _scaled(_HOODIE_FRONT, (22.0, 27.0), _HOODIE, garment_size)
    if kind == "tote":
        return _scaled(_TOTE, (15.0, 16.0), {}, garment_size)
    return _scaled(_TEE_BACK if side == "back" else _TEE_FRONT, (22.0, 30.0), _TEE, garment_size)


@dataclass(frozen=True, slots=True)
class _Shape:
    """A garment in inches at adult size. Path text holds M, L, C and Z; `half` is mirrored about x = 0."""

    half: str
    closing: str
    seams: tuple[str, ...]
    levels: tuple[tuple[str, float], ...]
    box: tuple[float, float, float, float]
    behind: str = ""


_TEE_SIDE = "L 9.6 1.9 C 11.4 2.7 12.4 4 13.2 5.8 L 16.5 12.4 L 12.3 14.3 L 10.9 10.2 C 11 16 10.9 24 11.1 30"
_TEE_SEAMS = ("M -11 29.1 L 11 29.1", "M 16.1 11.6 L 11.95 13.5", "M -16.1 11.6 L -11.95 13.5",
              "M 9.6 1.9 C 8.9 5 9.4 8 10.9 10.2", "M -9.6 1.9 C -8.9 5 -9.4 8 -10.9 10.2")  # fmt: skip
_TEE_FRONT = _Shape(
    f"M 0 2.7 C 1.9 2.7 3 1.8 3.6 0 {_TEE_SIDE}", "L 0 30",
    ("M -4.5 0.3 C -3.4 4.75 3.4 4.75 4.5 0.3", *_TEE_SEAMS),
    (("collar", 2.7), ("shoulder seam", 0.3)), (-16.5, 0, 16.5, 30),
)  # fmt: skip
_TEE_BACK = _Shape(
    f"M 0 0.8 C 1.6 0.8 2.8 0.5 3.6 0 {_TEE_SIDE}", "L 0 30",
    ("M -4.5 0.3 C -3.2 2 3.2 2 4.5 0.3", *_TEE_SEAMS),
    (("back collar", 0.8), ("shoulder seam", 0.3)), (-16.5, 0, 16.5, 30),
)  # fmt: skip
_HOODIE_FRONT = _Shape(
    "M 0 -9.6 C 4.6 -9.6 6.4 -5 4.6 0.6 L 9.8 2.4 C 11.8 3.2 12.8 4.6 13.5 6.6 L 18 23.4 L 14 24.6 L 11.1 11 "
    "C 11.2 17 11 22 10.8 27",
    "L 0 27",
    ("M 0 2.9 C -2.6 2.9 -4 1.4 -3.8 -1.6 C -3.6 -5.4 -2.2 -7.2 0 -7.2 C 2.2 -7.2 3.6 -5.4 3.8 -1.6 "
     "C 4 1.4 2.6 2.9 0 2.9 Z",
     "M -5 14.9 L 5 14.9 L 7.8 19.6 L 7.8 25 L -7.8 25 L -7.8 19.6 Z", "M -10.8 25 L 10.8 25",
     "M 17.5 21.4 L 13.5 22.6", "M -17.5 21.4 L -13.5 22.6", "M 9.8 2.4 C 9.2 5.6 9.7 8.6 11.1 11",
     "M -9.8 2.4 C -9.2 5.6 -9.7 8.6 -11.1 11", "M -1.6 2.6 L -1.9 8", "M 1.6 2.6 L 1.9 8"),
    (("collar", 2.9), ("pocket seam", 14.9)), (-18, -9.6, 18, 27),
)  # fmt: skip
_SHORT_SLEEVE = _Shape(
    "M 0 -1.6 C 2.6 -1.6 4.8 0.4 7 3.6 L 5.7 9", "L 0 9",
    ("M -5.85 8.2 L 5.85 8.2",
     "M -7 3.6 C -4.8 0.4 -2.6 -1.6 0 -1.6 C 2.6 -1.6 4.8 0.4 7 3.6 L 5.7 9 L -5.7 9 Z"),
    (("sleeve hem", 9.0), ("shoulder seam", -1.6)), (-8.2, -3.4, 8.2, 12.6),
    "M 0 -3.4 C 2.8 -3.4 5.2 -3.2 6.8 -2 C 8 2 8 8 8.2 12.6 L -8.2 12.6 C -8 8 -8 2 -6.8 -2 "
    "C -5.2 -3.2 -2.8 -3.4 0 -3.4 Z",
)  # fmt: skip
_LONG_SLEEVE_SHAPE = _Shape(
    "M 0 -0.6 C 1.8 -0.6 3.2 0.2 4.6 1.8 C 4.4 10 3.2 16 2.5 22.4 L 2.1 24.6", "L 0 24.6",
    ("M -2.5 22.4 L 2.5 22.4",), (("cuff", 22.4),), (-4.6, -0.6, 4.6, 24.6),
)  # fmt: skip
_LEG = _Shape(
    "M 0 0 L 6.2 0 C 6.8 12 5.8 26 4.7 41", "L 0 41",
    ("M -6.25 1.7 L 6.25 1.7", "M -1.8 1.7 C -1.6 5.4 -0.6 7.4 2.4 8.4 L 6.5 8.4", "M -4.75 40 L 4.75 40"),
    (("pocket", 8.4), ("waist", 0.0)), (-6.6, 0, 6.6, 41),
)  # fmt: skip
_TOTE = _Shape(
    "M 0 0 L 7.5 0 L 7.5 15.2 C 7.5 15.7 7.2 16 6.7 16", "L 0 16",
    ("M -7.5 1.2 L 7.5 1.2",), (("hem", 0.0),), (-7.5, -8.6, 7.5, 16),
    "M -4.5 0.4 C -4.5 -11.6 4.5 -11.6 4.5 0.4 L 3.4 0.4 C 3.4 -10 -3.4 -10 -3.4 0.4 Z",
)  # fmt: skip


def _scaled(
    shape: _Shape, base: tuple[float, float], sizes: dict[str, tuple[float, float]], garment_size: str
) -> Garment:
    width, length = sizes.get(garment_size, sizes.get("adult", base))
    across, down = mm(width / base[0]), mm(length / base[1])
    left, top, right, bottom = shape.box
    return Garment(
        _mirrored(_runs(f"{shape.half} {shape.closing}", across, down)),
        _runs(shape.behind, across, down),
        tuple(_runs(seam, across, down) for seam in shape.seams),
        {name: level * down for name, level in shape.levels},
        left * across, top * down, right * across, bottom * down,
    )  # fmt: skip


def _runs(text: str, across: float, down: float) -> Runs:
    """The runs of a path text whose commands and numbers stand apart by blanks."""
    runs: list[Run] = []
    words = iter(text.split())
    counts = {"M": 1, "L": 1, "C": 3, "Z": 0}
    for kind in words:
        points = tuple((float(next(words)) * across, float(next(words)) * down) for _ in range(counts[kind]))
        runs.append((kind, points))  # type: ignore[arg-type]
    return tuple(runs)


def _mirrored(half: Runs) -> Runs:
    """The right half, then the same way back on the left, closed."""
    nodes = [points for _, points in half]
    back: list[Run] = []
    for i in range(len(nodes) - 1, 0, -1):
        end = nodes[i - 1][-1]
        kind = half[i][0]
        controls = tuple(reversed(nodes[i][:-1]))
        back.append((kind, tuple((-x, y) for x, y in (*controls, end))))
    return (*half, *back, ("Z", ()))
