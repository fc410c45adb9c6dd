"""The end of the layout proof: what is ordered, the approval to sign, what it covers, and the cautions."""

from collections.abc import Sequence

from layout_core.checks.findings import Severity
from layout_core.job.approvals import shown_digest
from layout_core.outputs.drawing import Box, Part, line, moved
from layout_core.outputs.lacking import lacking_remark
from layout_core.outputs.proof_figures import size_text
from layout_core.outputs.proof_header import plural
from layout_core.outputs.proof_scope import ProofScope
from layout_core.outputs.proof_style import (
    GUTTER,
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
    tick_box,
)
from layout_core.units import write_number

COVERED = (
    "Approval covers spelling, art, size, position on the garment and count, as shown here.",
    "It does not cover colour, brightness or length of the glow, hand feel or wash. Screens and paper cannot "
    "show them: ask for a printed swatch. Garment sketches stand for a kind of garment, not for yours.",
    "After approval everything is printed as shown; changes then mean printing again.",
)
CAUTIONS = (
    "Hot platens burn on contact: gloves, no reaching in, keep children away.",
    "Ventilate; stop at smoke or smell.",
    "Test-press one garment of the same fabric first (scorch, dye migration).",
    "Follow the ink's, transfer's, garment's and press's own instructions; they outrank any figure here.",
    "Glow prints are decoration: never a substitute for high-visibility clothing, safety signs or "
    "escape-route marking, which local codes and licensed practice govern.",
    "Children's sleepwear has flammability law of its own.",
    "Visibility figures are estimates for healthy dark-adapted eyes; print a swatch and look.",
)
"""Every proof, ticket and read-me states these in full."""


def ordered(scope: ProofScope) -> Block:
    """Counts of pieces printed, and for the shop of sheets."""
    if not scope.job.pieces:
        return Block(0, ())
    total = sum(scope.printed.values())
    aside = plural(total, "piece")
    if scope.is_whole:
        aside = f"{plural(sum(sheet.run for sheet in scope.job.sheets), 'sheet')} carry {aside}"
    rows = [_piece_row(scope, i) for i in range(len(scope.job.pieces))]
    half = (len(rows) + 1) // 2
    columns = (stacked(rows[:half]), stacked(rows[half:]))
    parts = tuple(moved(block.parts, i * (_COLUMN + GUTTER), 0) for i, block in enumerate(columns))
    table = Block(max(block.height for block in columns), parts)
    return stacked([heading("What will be printed", aside), *_sheet_rows(scope), table], 8)


_COLUMN = (WIDTH - GUTTER) / 2


def _sheet_rows(scope: ProofScope) -> list[Block]:
    rows = []
    for sheet in scope.job.sheets:
        size = " × ".join(write_number(side, "in", 2) for side in (sheet.width_mm, sheet.length_mm))
        on_it = len(sheet.placed)
        parts = (
            one_line(0, 28, sheet.name, 22, 520, weight="bold"),
            one_line(560, 28, f"{size} in", 22, 300),
            one_line(900, 28, plural(on_it, "piece") + " on each", 22, 320),
            one_line(WIDTH, 28, f"run {sheet.run} = {plural(on_it * sheet.run, 'piece')}", 22, 480,
                     weight="semibold", anchor="end"),
            line((0, 43), (WIDTH, 43), RULE, 1),
        )  # fmt: skip
        rows.append(Block(44, parts))
    return rows


def _piece_row(scope: ProofScope, index: int) -> Block:
    piece = scope.job.pieces[index]
    parts = (
        *badge(17, 20, index + 1, 15),
        one_line(44, 27, piece.name, 20, 420, weight="medium"),
        one_line(480, 27, size_text(scope, piece)[0], 20, 250, fill=MUTED),
        one_line(_COLUMN, 27, str(scope.printed[piece.piece_id]), 22, 120, weight="bold", anchor="end"),
        line((0, 41), (_COLUMN, 41), "#E6EAE6", 1),
    )
    return Block(42, parts)


def approval(scope: ProofScope) -> Block:
    """Three boxes to tick, lines to fill in, and what a signature means."""
    width = WIDTH * 0.56
    left: list[Part] = []
    for i, text in enumerate(
        ("Approved as shown", "Approved with the changes written below", "New proof wanted")
    ):
        left += [
            tick_box(40, 36 + 56 * i),
            one_line(92, 62 + 56 * i, text, 24, width - 130, weight="semibold"),
        ]
    fields = (
        ("Changes", 40, 262, width - 80), ("", 40, 318, width - 80), ("Name", 40, 388, width - 80),
        ("Signature", 40, 458, width * 0.55), ("Date", 70 + width * 0.55, 458, width * 0.45 - 110),
    )  # fmt: skip
    for label, x, y, wide in fields:
        left.append(one_line(x, y + 24, label, 18, wide, fill=MUTED))
        left.append(line((x, y), (x + wide, y), TEXT, 2))
    right_x = width + 50
    notes = stacked([paragraph(0, 0, text, 21, WIDTH - right_x - 36, leading=1.42) for text in COVERED], 16)
    identity = f"Revision {scope.job.revision} · digest {shown_digest(scope.digest)}"
    height = 508.0
    parts = (
        Box(0, 0, WIDTH, height, PANEL, TEXT, 2.5, 12),
        *left,
        line((width + 14, 34), (width + 14, height - 34), RULE, 2),
        one_line(right_x, 58, "What your signature covers", 24, WIDTH - right_x - 36, weight="bold"),
        moved(notes.parts, right_x, 78),
        one_line(right_x, height - 36, identity, 19, WIDTH - right_x - 36, fill=MUTED),
    )
    return stacked([heading("Approval"), _signed(scope), Block(height, parts)], 18)


def _signed(scope: ProofScope) -> Block:
    """An earlier signature, and whether it still holds; nothing when there is none."""
    if scope.approval is None:
        return Block(0, ())
    text = f"Signed by {scope.approval.who}, {scope.approval.signed_on}."
    if scope.approval_state == "holds":
        return paragraph(0, 0, f"{text} Nothing printable has changed since.", 22, WIDTH, weight="semibold")
    void = f"{text} This approval is void: something printable has changed since. Sign again."
    colour = SEVERITY_COLOURS[Severity.STOP]
    return paragraph(0, 0, void, 22, WIDTH, weight="bold", fill=colour)


def cautions(scope: ProofScope, names: Sequence[str]) -> Block:
    """The cautions in two columns, then what identifies this proof."""
    blocks = [_bullet(text) for text in CAUTIONS]
    columns = (stacked(blocks[:4], 10), stacked(blocks[4:], 10))
    parts = tuple(moved(block.parts, i * (_COLUMN + GUTTER), 0) for i, block in enumerate(columns))
    both = Block(max(block.height for block in columns), parts)
    return stacked([heading("Cautions"), both, lacking_remark(names), _foot(scope)], 16)


def _bullet(text: str) -> Block:
    words = paragraph(30, 0, text, 21, _COLUMN - 30, leading=1.4)
    return Block(words.height, (Box(4, 13, 10, 10, TEXT, radius=2), *words.parts))


def _foot(scope: ProofScope) -> Block:
    kind = "job" if scope.is_whole else "order"
    rows: Sequence[str] = (
        f"Layout proof of {scope.title}, revision {scope.job.revision}. "
        "It shows what goes where and how large; it is no proof of colour.",
        f"SHA-256 of what is printed of the {kind}: {scope.digest}",
    )
    lines = tuple(one_line(0, 52 + 28 * i, row, 17, WIDTH, fill=MUTED) for i, row in enumerate(rows))
    return Block(90, (line((0, 18), (WIDTH, 18), RULE, 1.5), *lines))
