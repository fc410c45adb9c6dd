"""The press ticket: what to cut, where to lay it, how to press it, for the person at the press.

Letter pages, one where it can be. Sizes in px at the style's resolution; its type is larger than the proof's,
as it is read from an arm's length.
"""

from collections.abc import Sequence

from layout_core.checks.findings import Severity
from layout_core.job.approvals import shown_digest
from layout_core.job.model import Job, OrderLine
from layout_core.job.recipes import USUAL_FABRIC, Recipe, load_recipes, recipe_for
from layout_core.outputs.cut_plan import CutPlan
from layout_core.outputs.drawing import Box, Drawing, Part, line, moved, polygon
from layout_core.outputs.drawing_pdf import to_pdf
from layout_core.outputs.garment_counts import Pressing, pressings
from layout_core.outputs.lacking import lacking_remark, names_of
from layout_core.outputs.laying import lay_text
from layout_core.outputs.pages import Running, paged
from layout_core.outputs.press_words import (
    CARE,
    FIRST_OFF,
    OBSTRUCTIONS,
    STEPS,
    burn_caution,
    heat_text,
    size_line,
    span_text,
)
from layout_core.outputs.proof_garment import garment_sketch
from layout_core.outputs.proof_header import plural
from layout_core.outputs.proof_notes import CAUTIONS
from layout_core.outputs.proof_scope import ProofScope, whole_scope
from layout_core.outputs.proof_style import (
    ACCENT,
    ACCENT_FILL,
    DPI,
    FILM,
    GUTTER,
    INK,
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
    severity_mark,
    stacked,
    tick_box,
)
from layout_core.outputs.thumbnail import thumbnail
from layout_core.outputs.typeface import text_width
from layout_core.units import write_number

_COLUMNS = 2
_CARD = (WIDTH - GUTTER * (_COLUMNS - 1)) / _COLUMNS
_SKETCH, _SKETCH_HEIGHT, _THUMB = 226.0, 262.0, 92.0
_TALLY, _MOST_TALLY = 22.0, 40


def ticket_pages(job: Job, plans: Sequence[CutPlan]) -> tuple[Drawing, ...]:
    """The pages of the ticket for the whole job; `plans` are the cuts of its sheets.

    Raises TableError when the shop's table of placements or recipes has a mistake.
    """
    scope = whole_scope(job, ())
    recipes = load_recipes()
    jobs = pressings(job)
    sections = [
        _head(scope, jobs),
        _recipes(job, recipes),
        _cutting(job, plans),
        _cards(scope, jobs, recipes),
        _steps(),
        _safety(),
        lacking_remark(names_of(job)),
    ]
    foot = f"Press ticket · {job.name} · revision {job.revision} · {shown_digest(scope.digest)}"
    return paged(sections, 34, Running(foot, f"Press ticket: {job.name}"))


def ticket_pdf(job: Job, plans: Sequence[CutPlan]) -> bytes:
    """The pages of `ticket_pages` as PDF bytes; the same job gives the same bytes."""
    return to_pdf(ticket_pages(job, plans), dpi=DPI)


def _head(scope: ProofScope, jobs: Sequence[Pressing]) -> Block:
    wanted = sum(one.wanted for one in jobs)
    tag = "PRESS TICKET"
    tag_width = text_width(tag, 24, "bold")
    counts = f"{plural(wanted, 'print')} to press · {plural(len(jobs), 'piece')}"
    ink = f"Ink {scope.job.ink_name} · revision {scope.job.revision}"
    parts = (
        Box(0, 0, tag_width + 36, 46, ACCENT_FILL, radius=8),
        one_line(18, 32, tag, 24, tag_width + 1, weight="bold", fill=ACCENT),
        one_line(0, 112, scope.title, 56, WIDTH - 560, weight="extrabold"),
        one_line(WIDTH, 36, counts, 28, 540, weight="bold", anchor="end"),
        one_line(WIDTH, 76, ink, 24, 540, fill=MUTED, anchor="end"),
        one_line(WIDTH, 112, f"Digest {shown_digest(scope.digest)}", 22, 540, fill=MUTED, anchor="end"),
        line((0, 134), (WIDTH, 134), TEXT, 2.5),
    )  # fmt: skip
    return Block(136, parts)


def _recipes(job: Job, recipes: Sequence[Recipe]) -> Block:
    """A band for each fabric of the orders; the usual one when no order names any."""
    lines = [order_line for order in job.orders for order_line in order.lines]
    fabrics = list(dict.fromkeys(order_line.fabric for order_line in lines if order_line.fabric))
    is_open = not lines or any(not order_line.fabric for order_line in lines)
    if is_open:
        fabrics.append(USUAL_FABRIC)
    bands = []
    for fabric in dict.fromkeys(fabrics):
        recipe = recipe_for(fabric, recipes)
        bands.append(_band(fabric, recipe))
    note = (
        "Common practice, no source: the transfer's own sheet, the garment's label and the press's manual "
        "outrank these figures."
    )
    if is_open:
        note = (
            f"Some garments name no fabric: read their labels; the figures for {USUAL_FABRIC} are no leave "
            f"to press. {note}"
        )
    never = ", ".join(recipe.fabric for recipe in recipes if recipe.setting is None)
    notes = paragraph(0, 0, f"{note} Never press: {never}.", 22, WIDTH, fill=MUTED)
    return stacked([*bands, notes], 14)


def _band(fabric: str, recipe: Recipe | None) -> Block:
    if recipe is None or recipe.setting is None:
        reason = (
            recipe.remark if recipe else "It is not in the table of press recipes; ask the transfer maker."
        )
        return _refusal(f"Do not press {fabric}. {reason}")
    setting = recipe.setting
    heat_f, heat_c = heat_text(recipe)
    cells = (
        (heat_f, heat_c),
        (f"{setting.seconds:g} s", "press shut"),
        (span_text(setting.pressure), "pressure, of 10"),
        (f"{span_text(setting.pre_press_s)} s", "pre-press, every one"),
        (setting.peel, f"peel, after about {setting.peel_after_s:g} s"),
    )
    first = 430.0
    width = (WIDTH - first) / len(cells)
    remark = paragraph(26, 64, recipe.remark, 19, first - 40, fill=MUTED, leading=1.3)
    height = max(132.0, 64 + remark.height + 14)
    parts: list[Part] = [
        Box(0, 0, WIDTH, height, PANEL, radius=12),
        one_line(26, 56, fabric[:1].upper() + fabric[1:], 34, first - 40, weight="bold"),
        *remark.parts,
    ]
    for i, (value, label) in enumerate(cells):
        x = first + i * width
        parts.append(line((x, 20), (x, height - 20), RULE, 2))
        parts.append(one_line(x + 22, 66, value, 44, width - 30, weight="extrabold"))
        parts.append(one_line(x + 22, 104, label, 24, width - 30, weight="medium", fill=MUTED))
    blocks = [Block(height, tuple(parts))]
    if setting.caution:
        blocks.append(_warning(f"{fabric[:1].upper() + fabric[1:]} {setting.caution}.", Severity.CAUTION))
    return stacked(blocks, 8)


def _refusal(text: str) -> Block:
    return _warning(text, Severity.STOP)


def _warning(text: str, severity: Severity) -> Block:
    colour = SEVERITY_COLOURS[severity]
    words = paragraph(66, 10, text, 26, WIDTH - 90, weight="bold", fill=colour)
    height = words.height + 24
    frame = Box(0, 0, WIDTH, height, "#FFFFFF", colour, 3, 10)
    return Block(height, (frame, *severity_mark(34, height / 2, 18, severity), *words.parts))


def _cutting(job: Job, plans: Sequence[CutPlan]) -> Block:
    """A row a sheet: how many of it there are, and how many cuts take it apart."""
    by_sheet = {plan.sheet_id: plan for plan in plans}
    rows: list[Block] = []
    for sheet in job.sheets:
        if not sheet.placed:
            continue
        plan = by_sheet.get(sheet.sheet_id)
        cuts = "nothing to cut apart" if plan is None or plan.copies < 2 else _cuts_text(plan)
        size = f"{write_number(sheet.width_mm, 'in', 2)} × {write_number(sheet.length_mm, 'in', 2)} in"
        parts = (
            tick_box(0, 4, 30),
            one_line(46, 30, sheet.name, 26, 420, weight="bold"),
            one_line(480, 30, f"{plural(sheet.run, 'sheet')} of {size}", 25, 480),
            one_line(WIDTH, 30, cuts, 25, WIDTH - 990, weight="medium", anchor="end"),
            line((0, 46), (WIDTH, 46), RULE, 1.5),
        )
        rows.append(Block(48, parts))
    if not rows:
        return Block(0, ())
    return stacked([heading("Cut apart", "in the order of the numbers on the cut guide"), *rows], 6)


def _cuts_text(plan: CutPlan) -> str:
    parts = []
    if plan.cuts:
        parts.append(plural(len(plan.cuts), "straight cut"))
    if plan.contours:
        parts.append(
            f"then {len(plan.contours)} along their outlines"
            if parts
            else f"{len(plan.contours)} along their outlines"
        )
    return f"{', '.join(parts)}: {plural(plan.copies, 'piece')} a sheet"


def _cards(scope: ProofScope, jobs: Sequence[Pressing], recipes: Sequence[Recipe]) -> Block:
    if not jobs:
        words = paragraph(0, 0, "Nothing lies on the sheets yet, so there is nothing to press.", 26, WIDTH)
        return stacked([heading("Lay and press"), words], 10)
    cards = [_card(scope, one, recipes) for one in jobs]
    rows = []
    for start in range(0, len(cards), _COLUMNS):
        beside = cards[start : start + _COLUMNS]
        parts = tuple(moved(card.parts, i * (_CARD + GUTTER), 0) for i, card in enumerate(beside))
        rows.append(Block(max(card.height for card in beside), parts))
    return stacked([heading("Lay and press", "one box a print; a finger is 0.75 in"), *rows], 18)


def _card(scope: ProofScope, one: Pressing, recipes: Sequence[Recipe]) -> Block:
    piece, placement = one.piece, scope.placement(one.piece)
    left = _SKETCH + 22
    room = _CARD - left
    where = placement.name if placement else piece.placement
    lay = lay_text(scope.job, piece, placement) if placement else "Ask: this placement is not in the table."
    if placement and "cuff" in placement.measured_from:
        lay += " It reads from the cuff up."
    about = f"{where}, {piece.garment_size} · {size_line(scope.job, piece)}"
    words = stacked(
        [
            paragraph(0, 0, piece.name, 28, room - _THUMB - 76, weight="bold", lines=2, leading=1.2),
            paragraph(0, 0, about, 22, room - _THUMB - 30, lines=2, fill=MUTED, leading=1.25),
            paragraph(0, 0, lay, 24, room - _THUMB - 30, weight="semibold", lines=4, leading=1.25),
        ],
        3,
    )  # fmt: skip
    name_shift = 48.0
    counts = _counts(one, recipes)
    top = max(words.height + 8, _THUMB + 34)
    parts: tuple[Part, ...] = (
        *garment_sketch(scope, piece, _SKETCH, _SKETCH_HEIGHT).parts,
        *badge(left + 20, 18, scope.number(piece.piece_id)),
        *_words_after_badge(words, left, name_shift),
        *_way_up(scope, one, left + room - _THUMB),
        moved(counts.parts, left, top),
    )
    return Block(max(_SKETCH_HEIGHT, top + counts.height), parts)


def _words_after_badge(words: Block, left: float, shift: float) -> tuple[Part, ...]:
    """The name stands right of the badge, the rest below it."""
    first, *rest = words.parts
    return (moved((first,), left + shift, 0), moved(tuple(rest), left, 0))


def _way_up(scope: ProofScope, one: Pressing, x: float) -> tuple[Part, ...]:
    """The art as it is worn, under an arrow to the wearer's collar."""
    arrow = polygon([(x + _THUMB / 2, 0), (x + _THUMB / 2 + 13, 20), (x + _THUMB / 2 - 13, 20)], TEXT)
    picture = thumbnail(scope.job.artwork_of(one.piece), _THUMB, INK, FILM)
    return (
        arrow,
        one_line(x + _THUMB / 2 - 18, 20, "top", 17, 60, anchor="end", weight="semibold"),
        moved(picture, x, 26),
    )


def _counts(one: Pressing, recipes: Sequence[Recipe]) -> Block:
    room = _CARD - _SKETCH - 22
    spare = f", {one.spare} spare" if one.spare > 0 else f", {-one.spare} SHORT" if one.spare < 0 else ""
    head = f"Press {one.wanted} of {one.printed} printed{spare}"
    blocks = [paragraph(0, 0, head, 24, room, weight="bold", leading=1.3)]
    for order_line in one.lines:
        recipe = recipe_for(order_line.fabric, recipes) if order_line.fabric else None
        is_stopped = recipe is not None and recipe.setting is None
        text = _line_text(order_line) + (". Do not press" if is_stopped else "")
        fill = SEVERITY_COLOURS[Severity.STOP] if is_stopped else TEXT
        blocks.append(paragraph(0, 0, text, 22, room, lines=2, leading=1.25, fill=fill))
    blocks.append(tally(one.wanted, room))
    return stacked(blocks, 3)


def _line_text(order_line: OrderLine) -> str:
    sizes = ", ".join(f"{size} {count}" for size, count in order_line.sizes if count)
    cloth = " ".join(word for word in (order_line.garment_colour, order_line.fabric) if word)
    return f"{order_line.garment}{', ' if cloth else ''}{cloth}: {sizes}"


def tally(count: int, room: float) -> Block:
    """One box a print in groups of five; beyond forty a box stands for five or more."""
    if count <= 0:
        return Block(0, ())
    each = 1
    while count / each > _MOST_TALLY:
        each += 4 if each == 1 else 5
    boxes = -(-count // each)
    parts: list[Part] = []
    x = y = 0.0
    for number in range(boxes):
        if x + _TALLY > room:
            x, y = 0.0, y + _TALLY + 6
        parts.append(Box(x, y, _TALLY, _TALLY, "#FFFFFF", TEXT, 2, 4))
        x += _TALLY + (14 if number % 5 == 4 else 5)
    if each > 1:
        y += _TALLY + 6
        parts.append(one_line(0, y + 18, f"one box stands for {each} prints", 18, room, fill=MUTED))
    return Block(y + _TALLY + 4, tuple(parts))


def _steps() -> Block:
    column = (WIDTH - GUTTER) / 2
    steps = [_numbered(number, text, column) for number, text in enumerate(STEPS, 1)]
    test = paragraph(54, 14, FIRST_OFF, 23, column - 80, weight="semibold", leading=1.3)
    height = test.height + 32
    first_off = Block(
        height, (Box(0, 0, column, height, ACCENT_FILL, radius=10), tick_box(12, 16, 30), *test.parts)
    )
    off = paragraph(0, 0, f"Off the heated area: {OBSTRUCTIONS}", 22, column, leading=1.3)
    care = paragraph(0, 0, CARE, 22, column, leading=1.3)
    left, right = stacked(steps, 8), stacked([first_off, off, care], 16)
    both = Block(max(left.height, right.height), (*left.parts, moved(right.parts, column + GUTTER, 0)))
    return stacked([heading("At the press"), both], 14)


def _numbered(number: int, text: str, width: float) -> Block:
    words = paragraph(44, 0, text, 23, width - 44, leading=1.3)
    return Block(max(words.height, 36), (*badge(16, 17, number, 15), *words.parts))


def _safety() -> Block:
    column = (WIDTH - GUTTER) / 2
    texts = [CAUTIONS[0], burn_caution(), *CAUTIONS[1:]]
    blocks = [_bullet(text, column) for text in texts]
    total = sum(block.height for block in blocks)
    left: list[Block] = []
    while blocks and sum(block.height for block in left) + blocks[0].height / 2 < total / 2:
        left.append(blocks.pop(0))
    one, two = stacked(left, 6), stacked(blocks, 6)
    both = Block(max(one.height, two.height), (*one.parts, moved(two.parts, column + GUTTER, 0)))
    return stacked([heading("Cautions"), both], 12)


def _bullet(text: str, width: float) -> Block:
    words = paragraph(26, 0, text, 20, width - 26, leading=1.3)
    return Block(words.height, (Box(4, 9, 9, 9, TEXT, radius=2), *words.parts))
