"""Reads a list of names (CSV): what each row puts on its own piece of lettering."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from layout_core.errors import NameListError

MOST_ROWS = 400
"""A job holds 500 arts; this leaves room for others beside the names. Invented."""
MOST_LISTED = 20_000
"""So many may be listed to choose from, far above what one job holds. Invented."""
MOST_BYTES = 2_000_000
MOST_NAME = 60
MOST_COPIES = 1_000
COLUMNS = ("name", "number", "copies")
_SEPARATORS = ",;\t"
_SHOWN = 6


@dataclass(frozen=True, slots=True)
class NameRow:
    """One row: its number in the file (the heading is row 1), the words, and how many are wanted."""

    row: int
    name: str
    number: str = ""
    copies: int = 1

    @property
    def words(self) -> str:
        return " ".join(part for part in (self.name, self.number) if part)


@dataclass(frozen=True, slots=True)
class NameList:
    """The rows of a list, in its order; `file_name` is for messages."""

    file_name: str
    rows: tuple[NameRow, ...]


def read_names(path: Path) -> NameList:
    """The list in a CSV file. Raises NameListError with one sentence that names the file and the row."""
    return names_from_bytes(path.name, _file_bytes(path))


def read_list_text(path: Path) -> str:
    """The text of a list, to be looked at before it is read. Raises as `read_names` does."""
    data = _file_bytes(path)
    _require_size(path.name, data)
    return _text(path.name, data)


def list_text(rows: Sequence[NameRow]) -> str:
    """The rows as a list that reads back as them, but for their numbers."""
    written = io.StringIO(newline="")
    writer = csv.writer(written, lineterminator="\n")
    columns = COLUMNS if any(row.name for row in rows) else COLUMNS[1:]
    writer.writerow(columns)
    writer.writerows([getattr(row, column) for column in columns] for row in rows)
    return written.getvalue()


def _file_bytes(path: Path) -> bytes:
    try:
        if path.exists() and not path.is_file():
            raise NameListError(f"{path.name}: is not a file")
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not valid"
        raise NameListError(f"{path.name}: cannot be opened ({reason.lower()})") from error


def names_from_bytes(file_name: str, data: bytes, most: int = MOST_ROWS) -> NameList:
    """The list in a CSV file's bytes: columns name, number, copies in any order, or one name a line.

    Comma, semicolon or tab between the columns; UTF-8, UTF-16 or, where it is neither, Latin-1 (as Windows
    writes it). Rows that are wholly blank are passed over. Raises as `read_names` does.
    """
    _require_size(file_name, data)
    rows = _rows(file_name, _text(file_name, data))
    if not rows:
        raise NameListError(f"{file_name}: has no names in it")
    columns, entries = _columns(file_name, rows)
    if not entries:
        raise NameListError(f"{file_name}: has a heading but no names under it")
    if len(entries) > most:
        raise NameListError(
            f"{file_name}: has {len(entries):,} names; the most is {most:,} at a time, "
            "so split it into several lists"
        )
    return NameList(file_name, tuple(_entries(file_name, columns, entries)))


def _require_size(file_name: str, data: bytes) -> None:
    if len(data) > MOST_BYTES:
        raise NameListError(
            f"{file_name}: is over {MOST_BYTES // 1_000_000} MB, more than a list of names can be"
        )


def _text(file_name: str, data: bytes) -> str:
    """The text of the bytes. Source of the marks: Unicode Standard 15.0, section 23.8, byte order mark."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    elif data[1:2] == b"\0" and data[:1] != b"\0":
        encodings = ("utf-16-le",)
    elif data[:1] == b"\0" and data[1:2] != b"\0":
        encodings = ("utf-16-be",)
    else:
        encodings = ("utf-8-sig", "cp1252", "latin-1")
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not any(sign < " " and sign not in "\t\r\n" for sign in set(text)):
            return text
    raise NameListError(f"{file_name}: is no text file; save the list as CSV (UTF-8)")


def _rows(file_name: str, text: str) -> list[tuple[int, list[str]]]:
    """The rows that hold anything, each with its number in the file; every cell on one line."""
    best, score = "", (-1, -1)
    for separator in _SEPARATORS:
        first = next(_parsed(file_name, text, separator), None)
        if first is None:  # nothing but separators
            return []
        head = first[1]
        rank = (sum(cell.casefold() in COLUMNS for cell in head), len(head))
        if rank > score:
            best, score = separator, rank
    return list(_parsed(file_name, text, best))


def _parsed(file_name: str, text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=separator), 1):
            tidy = [" ".join(cell.split()) for cell in cells]
            if any(tidy):
                yield number, tidy
    except csv.Error as error:
        raise NameListError(
            f"{file_name}: is broken as a table ({error}); save the list as CSV (UTF-8)"
        ) from error


def _columns(
    file_name: str, rows: Sequence[tuple[int, list[str]]]
) -> tuple[list[str], Sequence[tuple[int, list[str]]]]:
    """The column of each cell, and the rows under the heading; a list of one column needs none."""
    head = [cell.casefold() for cell in rows[0][1]]
    while head and not head[-1]:
        head.pop()
    if not any(cell in COLUMNS for cell in head) and all(len(_filled(cells)) <= 1 for _, cells in rows):
        return ["name"], rows
    unknown = [
        cell or "without a heading" for cell in rows[0][1][: len(head)] if cell.casefold() not in COLUMNS
    ]
    if unknown:
        names = ", ".join(f"“{cell[:30]}”" for cell in unknown[:_SHOWN])
        raise NameListError(
            f"{file_name}: has unknown columns {names}; the first row must name only {', '.join(COLUMNS)}"
        )
    twice = next((cell for cell in head if head.count(cell) > 1), None)
    if twice is not None or not {"name", "number"} & set(head):
        reason = f"has the column “{twice}” twice" if twice else "has no column “name” or “number”"
        raise NameListError(f"{file_name}: {reason}")
    return head, rows[1:]


def _filled(cells: Sequence[str]) -> list[str]:
    """The cells up to the last that holds anything."""
    count = max((at + 1 for at, cell in enumerate(cells) if cell), default=0)
    return list(cells[:count])


def _entries(
    file_name: str, columns: Sequence[str], rows: Sequence[tuple[int, list[str]]]
) -> Iterator[NameRow]:
    _require_each(
        file_name, "more cells than columns", [n for n, cells in rows if len(_filled(cells)) > len(columns)]
    )
    entries = [(number, dict(zip(columns, cells, strict=False))) for number, cells in rows]
    wanted = "name" if "name" in columns else "number"
    _require_each(file_name, f"no {wanted}", [number for number, entry in entries if not entry.get(wanted)])
    long = [
        n
        for n, entry in entries
        if max(map(len, (entry.get("name", ""), entry.get("number", "")))) > MOST_NAME
    ]
    _require_each(file_name, f"over {MOST_NAME} letters", long)
    _require_each(
        file_name, f"copies that are no whole number from 0 to {MOST_COPIES:,}",
        [number for number, entry in entries if _copies(entry) is None],
    )  # fmt: skip
    for number, entry in entries:
        yield NameRow(number, entry.get("name", ""), entry.get("number", ""), _copies(entry) or 0)


def _copies(entry: dict[str, str]) -> int | None:
    text = entry.get("copies") or "1"
    value = int(text) if text.isascii() and text.isdigit() and len(text) <= 6 else -1
    return value if 0 <= value <= MOST_COPIES else None


def _require_each(file_name: str, what: str, rows: Sequence[int]) -> None:
    if rows:
        shown = ", ".join(map(str, rows[:_SHOWN])) + (
            f" and {len(rows) - _SHOWN} more" if len(rows) > _SHOWN else ""
        )
        raise NameListError(f"{file_name}: row{'s' if len(rows) > 1 else ''} {shown}: {what}")
