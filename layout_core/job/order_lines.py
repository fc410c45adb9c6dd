"""Reads order lines pasted from a spreadsheet or kept as CSV: what each row orders, in which sizes."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from layout_core.errors import OrderListError
from layout_core.job.bounds import MOST_COPIES
from layout_core.job.garment_sizes import GROUPS, size_named

MOST_ROWS = 1_000
MOST_BYTES = 1_000_000
WORDS = ("design", "placement", "garment", "colour")
"""The columns every list has beside at least one size."""

_SPELLINGS = {"color": "colour"}
_SEPARATORS = "\t;,"
_SHOWN = 6


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One row: its number in the list (the heading is row 1) and what it orders, sizes smallest first."""

    row: int
    design: str
    placement: str
    garment: str
    colour: str
    sizes: tuple[tuple[str, int], ...]

    @property
    def count(self) -> int:
        return sum(count for _, count in self.sizes)


def read_order_rows(path: Path) -> tuple[OrderRow, ...]:
    """The rows of a CSV file. Raises OrderListError with one sentence that names file, row and column."""
    try:
        if path.exists() and not path.is_file():
            raise OrderListError(f"{path.name}: is not a file")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not valid"
        raise OrderListError(f"{path.name}: cannot be opened ({reason.lower()})") from error
    if len(data) > MOST_BYTES:
        raise OrderListError(f"{path.name}: is over {MOST_BYTES:,} bytes, more than order lines can be")
    encoding = "utf-16" if data.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        raise OrderListError(f"{path.name}: is no UTF-8 text; save the list as CSV (UTF-8)") from error
    return order_rows(text, path.name)


def order_rows(text: str, source: str = "the pasted lines") -> tuple[OrderRow, ...]:
    """The rows of a table with a heading: design, placement, garment, colour, and a column a size.

    Tab, semicolon or comma part the columns. Blank rows, and rows that order nothing, are passed over.
    Nothing is guessed: an unknown column, a missing word or a count that is none raises OrderListError.
    """
    if len(text) > MOST_BYTES:
        raise OrderListError(f"{source}: are over {MOST_BYTES:,} letters, more than order lines can be")
    table = [(number, cells) for number, cells in _cells(source, text) if any(cells)]
    if not table:
        raise OrderListError(f"{source}: hold nothing")
    columns = _columns(source, table[0][1])
    if len(table) - 1 > MOST_ROWS:
        raise OrderListError(f"{source}: hold {len(table) - 1:,} rows; the most is {MOST_ROWS:,} at a time")
    rows = tuple(_row(source, columns, number, cells) for number, cells in table[1:])
    ordered = tuple(row for row in rows if row.count)
    if not ordered:
        raise OrderListError(f"{source}: order nothing; no size has a count under the heading")
    return ordered


def _cells(source: str, text: str) -> Iterator[tuple[int, list[str]]]:
    head = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(_SEPARATORS, key=head.count)
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=separator), 1):
            yield number, [" ".join(cell.split()) for cell in cells]
    except csv.Error as error:
        raise OrderListError(f"{source}: are broken as a table ({error})") from error


def _columns(source: str, head: Sequence[str]) -> list[str]:
    """What each column holds: one of `WORDS`, or a size."""
    filled = list(head)
    while filled and not filled[-1]:
        filled.pop()
    columns = [_column(cell) for cell in filled]
    unknown = [cell or "(no heading)" for cell, column in zip(filled, columns, strict=True) if column is None]
    if unknown:
        names = ", ".join(f"“{cell[:30]}”" for cell in unknown[:_SHOWN])
        raise OrderListError(
            f"{source}: unknown column {names}; the columns are {', '.join(WORDS)} "
            f"and sizes such as S, M, 2XL, YM, 4T"
        )
    known = [column for column in columns if column is not None]
    twice = next((column for column in known if known.count(column) > 1), None)
    if twice is not None:
        raise OrderListError(f"{source}: the column “{twice}” stands twice")
    missing = [word for word in WORDS if word not in known]
    if missing or not set(known) - set(WORDS):
        raise OrderListError(f"{source}: no column for {', '.join(missing) or 'any size'}")
    return known


def _column(heading: str) -> str | None:
    word = heading.casefold()
    word = _SPELLINGS.get(word, word)
    return word if word in WORDS else size_named(heading)


def _row(source: str, columns: Sequence[str], number: int, cells: Sequence[str]) -> OrderRow:
    if any(cells[len(columns) :]):
        raise OrderListError(f"{source}, row {number}: has more cells than there are columns")
    entry = dict(zip(columns, cells, strict=False))
    for word in WORDS:
        if not entry.get(word):
            raise OrderListError(f"{source}, row {number}: no {word}")
    counts = {
        size: _count(source, number, size, entry.get(size, "")) for size in columns if size not in WORDS
    }
    sizes = tuple((size, counts[size]) for size in GROUPS if counts.get(size))
    return OrderRow(number, entry["design"], entry["placement"], entry["garment"], entry["colour"], sizes)


def _count(source: str, number: int, size: str, text: str) -> int:
    if not text or text in ("-", "–"):
        return 0
    value = int(text) if text.isascii() and text.isdigit() and len(text) <= 12 else -1
    if value < 0:
        raise OrderListError(f"{source}, row {number}: {size} is “{text[:20]}”, not a whole number")
    if value > MOST_COPIES:
        raise OrderListError(
            f"{source}, row {number}: {size} is {value:,}; the most of one size is {MOST_COPIES:,}"
        )
    return value
