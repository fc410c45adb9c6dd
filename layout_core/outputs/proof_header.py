"""The head of the layout proof: what it is, for whom, and the facts that hold for all of it."""

from layout_core.glow.cloth import cloth
from layout_core.job.approvals import shown_digest
from layout_core.job.model import Job, Order
from layout_core.outputs.drawing import Box, Part, circle, line, moved
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    ACCENT,
    ACCENT_FILL,
    INK,
    MUTED,
    RULE,
    WIDTH,
    Block,
    badge,
    heading,
    one_line,
    paragraph,
    stacked,
)
from layout_core.outputs.typeface import text_width

_ASIDE = 500.0
_FACTS_HEIGHT = 138.0


def header(scope: ProofScope) -> Block:
    """Title and identity over the band of facts."""
    return stacked([_title(scope), _facts(scope)], 34)


def orders(scope: ProofScope) -> Block:
    """What each order asks for, garment by garment; nothing when no order has lines."""
    rows = [_order(scope, order) for order in scope.job.orders if order.lines]
    if not rows:
        return Block(0, ())
    title = "Orders" if scope.is_whole else "What you ordered"
    return stacked([heading(title), *rows], 14)


def plural(count: int, noun: str) -> str:
    """E.g. "1 sheet", "2 sheets"."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _title(scope: ProofScope) -> Block:
    room = WIDTH - _ASIDE - 70
    tag = "LAYOUT PROOF" if scope.is_whole else "LAYOUT PROOF · ONE ORDER"
    tag_width = text_width(tag, 22, "bold")
    name = paragraph(0, 60, scope.title, 64, room, weight="extrabold", lines=2, leading=1.18)
    customer = paragraph(
        0, 66 + name.height, f"For {scope.customer}" if scope.customer else "No order yet", 28, room,
        fill=MUTED, weight="medium", lines=2,
    )  # fmt: skip
    parts = (
        Box(0, 0, tag_width + 36, 44, ACCENT_FILL, radius=8),
        one_line(18, 30, tag, 22, tag_width + 1, weight="bold", fill=ACCENT),
        *name.parts, *customer.parts, *_identity(scope),
    )  # fmt: skip
    return Block(max(66 + name.height + customer.height, 200.0), parts)


def _identity(scope: ProofScope) -> tuple[Part, ...]:
    digest = shown_digest(scope.digest)
    rows = (
        ("Revision", str(scope.job.revision)),
        ("Digest of the job" if scope.is_whole else "Digest of the order", digest),
        ("Print limits", scope.job.limits.name),
    )
    parts: list[Part] = []
    for i, (label, value) in enumerate(rows):
        y = 34.0 + 56 * i
        parts.append(one_line(WIDTH - _ASIDE, y, label, 21, 200, fill=MUTED))
        parts.append(one_line(WIDTH, y, value, 23, _ASIDE - 210, weight="semibold", anchor="end"))
        parts.append(line((WIDTH - _ASIDE, y + 19), (WIDTH, y + 19), RULE, 1.5))
    return tuple(parts)


def _ink_words(job: Job) -> str:
    under = "on a white underbase" if job.printing.has_underbase else "one ink"
    return f"{under}; pale by day, glows after light"


def _facts(scope: ProofScope) -> Block:
    job = scope.job
    colours = tuple(dict.fromkeys(scope.garment_colour(piece) for piece in job.pieces)) or (
        job.garment_colour,
    )
    cells: list[tuple[str, str, str, tuple[str, ...]]] = [
        ("Pieces to print", str(sum(scope.printed.values())), plural(len(job.pieces), "design"), ()),
        ("Garments", *_colour_words(colours), tuple(map(cloth, colours))[:4]),
        ("Ink", job.ink_name, _ink_words(job), (INK,)),
        ("Orientation", "Right-reading", "as seen on the garment", ()),
    ]
    if scope.is_whole:
        runs = sum(sheet.run for sheet in job.sheets)
        cells.insert(1, ("Sheets to print", str(runs), plural(len(job.sheets), "sheet design"), ()))
    width = WIDTH / len(cells)
    parts: list[Part] = [
        line((0, 0), (WIDTH, 0), RULE, 1.5),
        line((0, _FACTS_HEIGHT), (WIDTH, _FACTS_HEIGHT), RULE, 1.5),
    ]
    for i, cell in enumerate(cells):
        parts.append(moved(_cell(*cell, width - 40), i * width, 0))
    return Block(_FACTS_HEIGHT, tuple(parts))


def _colour_words(colours: tuple[str, ...]) -> tuple[str, str]:
    """What the cell says large and what small: one colour by name, several by their count and names."""
    if len(colours) == 1:
        return colours[0], "a colour word, not a shade"
    return f"{len(colours)} colours", ", ".join(colours)


def _cell(label: str, value: str, remark: str, swatches: tuple[str, ...], most: float) -> tuple[Part, ...]:
    indent = 34.0 * len(swatches)
    return (
        one_line(0, 38, label, 20, most, fill=MUTED),
        *(circle(14 + 34 * i, 74, 13, colour, MUTED) for i, colour in enumerate(swatches)),
        one_line(indent + 4 * bool(swatches), 84, value, 30, most - indent - 4, weight="bold"),
        one_line(0, 117, remark, 18, most, fill=MUTED),
    )


def _order(scope: ProofScope, order: Order) -> Block:
    known = {piece.piece_id: piece for piece in scope.job.pieces}
    name = f"{order.name} · {order.customer}" if scope.is_whole else order.name
    rows = [Block(36, (one_line(0, 28, name, 24, WIDTH, weight="bold"),))]
    for ordered in order.lines:
        sizes = ", ".join(f"{size} {count}" for size, count in ordered.sizes)
        parts: list[Part] = [
            one_line(0, 26, str(ordered.count), 21, 80, weight="bold"),
            one_line(90, 26, f"{ordered.garment}, {ordered.garment_colour}", 21, 440),
            one_line(550, 26, sizes, 21, 580, fill=MUTED),
            line((0, 40), (WIDTH, 40), RULE, 1),
        ]
        piece = known.get(ordered.piece_id)
        if piece is not None:
            parts += badge(1170, 19, scope.number(piece.piece_id), 15)
        name = piece.name if piece else "a piece that is gone"
        parts.append(one_line(1198, 26, name, 21, WIDTH - 1198, weight="medium"))
        rows.append(Block(40, tuple(parts)))
    return stacked(rows)
