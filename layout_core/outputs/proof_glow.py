"""The glow section of the layout proof: how far each piece reads and is seen, and what that assumes.

It stands only where the job states its lighting, and never without the words that it is decoration.
"""

from layout_core.checks import promise
from layout_core.checks.findings import Finding, Severity
from layout_core.glow.bands import Bands, garment_colours, piece_elements, scene_bands
from layout_core.glow.promise_text import promise_words
from layout_core.glow.scene import scene_of
from layout_core.glow.visibility import shown_m
from layout_core.glow.words import DECORATION_ONLY, LIMITS_OF_THE_FIGURES, assumed_words
from layout_core.job.lighting import Lighting
from layout_core.job.model import Piece
from layout_core.outputs.drawing import Box, Part, line, moved
from layout_core.outputs.proof_dark import USUAL_MOMENT, dark_rows, dark_tile
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    ACCENT,
    MUTED,
    PANEL,
    RULE,
    SEVERITY_COLOURS,
    TEXT,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    stacked,
)

MOMENTS_MIN = (5.0, 20.0, 60.0)
"""The minutes after lights-out that every proof tells."""

_NAME_ROOM = 440.0
_COLUMN = 330.0
_FIRST = 560.0


def glow(scope: ProofScope) -> Block:
    """A row a piece with its distances; nothing where the job states no lighting or has no piece.

    Raises GlowError when the lighting names a lamp nobody knows.
    """
    lighting = scope.job.lighting
    if lighting is None or not scope.job.pieces:
        return Block(0, ())
    rows = [_row(scope, piece, lighting) for piece in scope.job.pieces]
    return stacked(
        [
            heading("In the dark", DECORATION_ONLY),
            _head(lighting),
            *rows,
            *_pictures(scope, lighting),
            _assumes(scope, lighting),
        ],
        0,
    )


def _pictures(scope: ProofScope, lighting: Lighting) -> tuple[Block, ...]:
    moment = lighting.promise or USUAL_MOMENT
    tiles = [
        dark_tile(
            scope, piece, piece_elements(scope.job, piece), scene_of(lighting, _colour(scope, piece)), moment
        )
        for piece in scope.job.pieces
    ]
    return dark_rows(tiles, lighting, moment)


def _head(lighting: Lighting) -> Block:
    titles = [
        one_line(_FIRST + i * _COLUMN, 30, f"after {minutes:g} min", 20, _COLUMN - 12, weight="bold")
        for i, minutes in enumerate(MOMENTS_MIN)
    ]
    reads = [
        one_line(_FIRST + i * _COLUMN, 56, "reads to · seen as a shape to", 16, _COLUMN - 12, fill=MUTED)
        for i in range(len(MOMENTS_MIN))
    ]
    return Block(70, (*_promised(lighting), *titles, *reads, line((0, 69), (WIDTH, 69), TEXT, 1.5)))


def _promised(lighting: Lighting) -> tuple[Part, ...]:
    if lighting.promise is None:
        return ()
    words = promise_words(lighting.promise, lighting.venue)
    return (
        one_line(0, 30, "Promised", 20, 500, weight="bold"),
        one_line(0, 56, words, 16, _FIRST - 20, fill=MUTED),
    )


def _row(scope: ProofScope, piece: Piece, lighting: Lighting) -> Block:
    bands = _bands(scope, piece, lighting)
    parts: list[Part] = [
        *badge(17, 28, scope.number(piece.piece_id), 15),
        one_line(44, 35, piece.name, 20, _NAME_ROOM - 44, weight="medium"),
    ]
    for i in range(len(MOMENTS_MIN)):
        reads, shape = shown_m(float(bands.reads_m[i])), shown_m(float(bands.shape_m[i]))
        x = _FIRST + i * _COLUMN
        parts.append(one_line(x, 35, f"{reads} · {shape}", 21, _COLUMN - 12, weight="semibold"))
    if lighting.promise is not None:
        parts += _verdict(scope.findings, piece)
    return Block(54, (*parts, line((0, 53), (WIDTH, 53), RULE, 1)))


def _bands(scope: ProofScope, piece: Piece, lighting: Lighting) -> Bands:
    elements = piece_elements(scope.job, piece)
    return scene_bands(elements, scene_of(lighting, _colour(scope, piece)), MOMENTS_MIN)


def _colour(scope: ProofScope, piece: Piece) -> str:
    return garment_colours(scope.job, piece)[0]


def _verdict(findings: tuple[Finding, ...], piece: Piece) -> tuple[Part, ...]:
    """Kept or missed, in words as well as colour."""
    own = (found for found in findings if found.piece_id == piece.piece_id and found.rule == promise.RULE)
    missed = any(found.severity is Severity.CAUTION for found in own)
    word, colour = ("missed", SEVERITY_COLOURS[Severity.CAUTION]) if missed else ("kept", ACCENT)
    return (one_line(_NAME_ROOM, 35, word, 20, 100, weight="bold", fill=colour),)


def _assumes(scope: ProofScope, lighting: Lighting) -> Block:
    colours = dict.fromkeys(_colour(scope, piece) for piece in scope.job.pieces)
    sentences = [assumed_words(lighting, next(iter(colours)))]
    if len(colours) > 1:
        sentences.append("Each piece is judged on its own garment's colour.")
    text = f"{DECORATION_ONLY} {' '.join(sentences)} {LIMITS_OF_THE_FIGURES}"
    words = paragraph(24, 14, text, 19, WIDTH - 48, leading=1.4)
    height = words.height + 34
    return Block(height + 18, (Box(0, 18, WIDTH, height, PANEL, radius=10), moved(words.parts, 0, 18)))
