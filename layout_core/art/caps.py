"""Every limit of what a stranger's file may be; what is larger, deeper or slower is refused undrawn.

The figures are our own choice: far above any art a shop receives, far below what harms the machine.
What a job may hold (arts, pieces, sheets, words) is in `job.bounds`, its archive in `job.archive`.
"""

FILE_BYTES = 50_000_000
"""A file is read into memory whole; asked of its size before that, and of the bytes again."""
UNPACKED_BYTES = 64_000_000
"""The tree of an XML file takes several times its text, all within `MEMORY_BYTES`."""
UNPACK_RATIO = 100
"""Unpacked over packed: zeros pack over 1000 times. What a file says of its own size is not believed."""
UNPACK_FREE_BYTES = 1_000_000
"""Below this the ratio is not asked: small drawings of one repeated line pack as well as a bomb."""

ELEMENTS = 100_000
"""Counted right after parsing, before styles and shapes are worked out for each."""
DEPTH = 200
"""Walking a tree recurses, as do the renderer and the parser; both are safe far beyond this."""
REFERENCES = 20_000
"""How many `use` references may be followed while drawing, and how many may stand in the file: ten lines that
refer to each other ten times over stand for a billion shapes."""
REFERENCE_DEPTH = 100
"""References onward from references recurse as nesting does."""
VISITS = 200_000
"""How many elements may be drawn, counting those reached again through references."""
NUMBER = 1_000_000.0
"""The reference renderer stops the whole process on some larger numbers, and loops on others."""
DASHES = 10_000
"""Path length over the sum of its dashes; the reference renderer takes minutes beyond."""
PATTERN_TIMES = 16
"""Area of a pattern's tile over the box of what it fills, where it is stated as a multiple of that: the
renderer draws a whole tile, at this figure 1 GB at the finest scale; short of memory it stops the process."""
VERTICES = 2_000_000
"""Corners of the shapes of one file: 32 MB of coordinates, and seconds for every union."""

PIXELS = 100_000_000
"""Asked of the header before a pixel is decoded; 100 MP is 11 x 14 in at 800 dpi."""
EMBEDDED_PIXELS = 40_000_000
"""All pictures inside one SVG together; the renderer holds them beside its own canvas."""

VECTOR_SHAPES = 6_000
VECTOR_PATH_CHARACTERS = 6_000_000
"""Drawings beyond these go to the raster route at once: exact outlines would take too long."""

MEMORY_BYTES = 2_000_000_000
"""Address space of the worker process, where the system can limit it; 100 MP with alpha take 1.9 GB."""
SECONDS = 20.0
"""How long one file may take by the clock; a person who waits longer thinks that the program hangs."""
FILES_PER_WORKER = 200
"""A worker is replaced after this many files, so a leak in any decoder stays small."""

REFERENCE_WIDTH_IN = 11.0
"""Curves are flattened, and pictures rendered, finely enough for art placed this wide."""
FLATTEN_IN = 0.00025
"""How far a flattened curve may lie from the true one, at `REFERENCE_WIDTH_IN`."""
