"""The quote of one order, for its customer: garments, sizes and prices as PDF pages and as CSV."""

import csv
import io
from decimal import Decimal

from layout_core.job.model import Job, Order
from layout_core.outputs.drawing import Drawing, Part, line
from layout_core.outputs.drawing_pdf import to_pdf
from layout_core.outputs.lacking import lacking_remark
from layout_core.outputs.pages import Running, paged
from layout_core.outputs.proof_style import (
    ACCENT,
    DPI,
    MUTED,
    RULE,
    WIDTH,
    Block,
    heading,
    one_line,
    paragraph,
    stacked,
)
from layout_core.plan.money import written
from layout_core.plan.prices import PriceList
from layout_core.plan.pricing import GarmentGroup, OrderPrice

_GAP = 46.0
_EXAMPLE = "Prices come from the invented example list that ships with the program; they are no offer."
_REMARK = (
    "The layout proof you sign says what is printed, where and how large. "
    "Glow prints are decoration, never a substitute for safety signs or high-visibility clothing."
)
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t")


def quote_pages(job: Job, price: OrderPrice, prices: PriceList) -> tuple[Drawing, ...]:
    """The pages, letter paper: what this customer gets and pays. No cost, no other order, no clock."""
    order = job.order(price.order_id)
    sections = [_head(order, price), _garments(job, price, prices), _sums(price, prices)]
    shown = [order.name, order.customer]
    for group in price.groups:
        shown += [group.garment, group.colour, _sizes(group), _prints(job, group)]
    sections.append(_notes(prices, shown))
    running = Running(f"Quote · {order.name}", f"Quote: {order.name}")
    return paged(sections, _GAP, running)


def quote_pdf(job: Job, price: OrderPrice, prices: PriceList) -> bytes:
    """The pages of `quote_pages` as PDF bytes; the same job and prices give the same bytes."""
    return to_pdf(quote_pages(job, price, prices), dpi=DPI)


def quote_csv(job: Job, price: OrderPrice, prices: PriceList) -> bytes:
    """The same as CSV (UTF-8, comma, CRLF as RFC 4180 says), amounts as bare numbers.

    A cell that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    order = job.order(price.order_id)
    out = io.StringIO(newline="")
    rows = csv.writer(out, lineterminator="\r\n")

    def write(*cells: object) -> None:
        rows.writerow([_inert(cell) for cell in cells])

    write("order", "customer", "garment", "colour", "sizes", "prints", "count", "price", "currency")
    for group in price.groups:
        write(
            order.name, order.customer, group.garment, group.colour, _sizes(group), _prints(job, group),
            group.count, group.price, prices.currency,
        )  # fmt: skip
    for label, amount in _totals(price, prices):
        write(order.name, order.customer, label, "", "", "", "", amount, prices.currency)
    write(order.name, order.customer, "each garment, rounded", "", "", "", "", price.each, prices.currency)
    if prices.is_example:
        write(order.name, order.customer, _EXAMPLE, "", "", "", "", "", "")
    return out.getvalue().encode("utf-8")


def _inert(cell: object) -> str:
    text = str(cell)
    return f"'{text}" if isinstance(cell, str) and text.startswith(_FORMULA_SIGNS) else text


def _totals(price: OrderPrice, prices: PriceList) -> list[tuple[str, Decimal]]:
    if prices.tax is None:
        return [("total", price.total)]
    name, percent = prices.tax
    return [("net", price.price), (f"{name} {percent} %", price.tax), ("total", price.total)]


def _head(order: Order, price: OrderPrice) -> Block:
    name = paragraph(0, 40, order.name, 60, WIDTH, weight="extrabold", lines=2, leading=1.18)
    customer = paragraph(
        0, 48 + name.height, f"For {order.customer}" if order.customer else "No customer named", 28, WIDTH,
        fill=MUTED, weight="medium", lines=2,
    )  # fmt: skip
    count = "1 garment" if price.garments == 1 else f"{price.garments:,} garments"
    label = one_line(0, 26, f"QUOTE · {count}", 22, WIDTH, weight="bold", fill=ACCENT)
    return Block(60 + name.height + customer.height, (label, *name.parts, *customer.parts))


def _garments(job: Job, price: OrderPrice, prices: PriceList) -> Block:
    return stacked([heading("What you get"), *(_garment(job, group, prices) for group in price.groups)], 18)


def _garment(job: Job, group: GarmentGroup, prices: PriceList) -> Block:
    name = f"{group.garment}, {group.colour}" if group.colour else group.garment
    room = WIDTH - 500
    sizes = paragraph(120, 44, _sizes(group), 22, room, fill=MUTED)
    prints = paragraph(120, 44 + sizes.height, _prints(job, group), 22, room, fill=MUTED)
    height = 60 + sizes.height + prints.height
    parts: tuple[Part, ...] = (
        one_line(0, 32, f"{group.count:,} ×", 28, 110, weight="bold"),
        one_line(120, 32, name, 28, room, weight="semibold"),
        one_line(
            WIDTH, 32, written(group.price, prices.currency), 28, 360, weight="semibold", anchor="end"
        ),
        *sizes.parts, *prints.parts, line((0, height), (WIDTH, height), RULE, 1.5),
    )  # fmt: skip
    return Block(height, parts)


def _sums(price: OrderPrice, prices: PriceList) -> Block:
    rows = []
    for label, amount in _totals(price, prices):
        weight, size = ("extrabold", 36) if label == "total" else ("medium", 26)
        text = written(amount, prices.currency)
        rows.append(
            Block(
                54,
                (
                    one_line(WIDTH - 400, 36, label[:1].upper() + label[1:], size, WIDTH - 420,
                             weight="bold" if label == "total" else "medium", anchor="end"),
                    one_line(WIDTH, 36, text, size, 380, weight="extrabold" if weight == "extrabold"
                             else "medium", anchor="end"),
                ),
            )
        )  # fmt: skip
    each = f"about {written(price.each, prices.currency)} a garment"
    rows.append(Block(40, (one_line(WIDTH, 28, each, 22, WIDTH, fill=MUTED, anchor="end"),)))
    return stacked(rows, 4)


def _notes(prices: PriceList, shown: list[str]) -> Block:
    words = [_REMARK]
    if prices.tax is None:
        words.append("No tax is included or added here.")
    if prices.is_example:
        words.append(_EXAMPLE)
    told = [paragraph(0, 0, text, 20, WIDTH, fill=MUTED) for text in words]
    remark = lacking_remark(shown)
    return stacked([*told, remark] if remark.height else told, 8)


def _sizes(group: GarmentGroup) -> str:
    return ", ".join(f"{size} {count:,}" for size, count in group.sizes)


def _prints(job: Job, group: GarmentGroup) -> str:
    """Each print once, whatever piece widths its sizes take."""
    pieces = [job.piece(piece_id) for piece_id in group.piece_ids]
    words = (
        f"{job.artwork_of(piece).name.rpartition('.')[0] or piece.name}: {piece.placement}"
        for piece in pieces
    )
    return "; ".join(dict.fromkeys(words))
