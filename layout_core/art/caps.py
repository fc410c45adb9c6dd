"""Every limit of art intake: what is larger, deeper or slower is refused before anything is drawn.

The figures are our own choice: far above any art a shop receives, far below what harms the machine.
"""

FILE_BYTES = 50_000_000
UNPACKED_BYTES = 64_000_000
UNPACK_RATIO = 100
"""Packed files that grow more than this are bombs; below `UNPACK_FREE_BYTES` the ratio is not asked."""
UNPACK_FREE_BYTES = 1_000_000

ELEMENTS = 100_000
DEPTH = 200
REFERENCES = 20_000
"""How many `use` references may be followed while drawing, and how many may stand in the file."""
REFERENCE_DEPTH = 100
VISITS = 200_000
"""How many elements may be drawn, counting those reached again through references."""
NUMBER = 1_000_000.0
"""The reference renderer stops the whole process on some larger numbers, and loops on others."""
DASHES = 10_000
"""Path length over the sum of its dashes; the reference renderer takes minutes beyond."""
VERTICES = 2_000_000

PIXELS = 100_000_000
EMBEDDED_PIXELS = 40_000_000
"""All pictures inside one SVG together."""

VECTOR_SHAPES = 6_000
VECTOR_PATH_CHARACTERS = 6_000_000
"""Drawings beyond these go to the raster route at once: exact outlines would take too long."""

MEMORY_BYTES = 3_000_000_000
"""Address space of the worker process, where the system can limit it."""
SECONDS = 20.0
FILES_PER_WORKER = 200
"""A worker is replaced after this many files, so a leak in any decoder stays small."""

REFERENCE_WIDTH_IN = 11.0
"""Curves are flattened, and pictures rendered, finely enough for art placed this wide."""
FLATTEN_IN = 0.00025
"""How far a flattened curve may lie from the true one, at `REFERENCE_WIDTH_IN`."""
