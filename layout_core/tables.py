"""Reads the shop's TOML tables: the user's own copy where there is one, the shipped one otherwise."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from layout_core.errors import TableError, UnitsError
from layout_core.files import write_whole
from layout_core.shipped import shipped
from layout_core.units import LONGEST_MM, parse_length_mm
from layout_core.user_folders import config_folder

MOST_TABLE_BYTES = 1_000_000
_LONGEST_KEY = 60
_ENDS_WITH_UNIT = re.compile(r"""[a-z."″”']\s*$""", re.IGNORECASE)


def table_path(name: str) -> Path:
    """The file that counts for a table such as "placements.toml"."""
    own = config_folder() / name
    return own if own.is_file() else shipped("resources", name)


def make_own_table(name: str) -> Path:
    """The user's own copy of a table, made from the shipped one on first use; later calls change nothing.

    Raises SaveError when the user's folder cannot be written.
    """
    own = config_folder() / name
    if not own.is_file():
        source = shipped("resources", name).read_bytes()
        own.parent.mkdir(parents=True, exist_ok=True)
        write_whole(own, source)
    return own


def read_table(path: Path) -> dict[str, Any]:
    """The parsed table. Raises TableError that names the file, and the line where TOML itself is wrong."""
    try:
        table = tomllib.loads(_text(path))
    except ValueError as error:  # TOMLDecodeError is one; dates and digits without end raise others
        raise TableError(f"{path.name}: is no sound TOML: {error}") from error
    except RecursionError as error:
        raise TableError(f"{path.name}: is nested too deeply to be a table") from error
    if _has_endless(table):
        raise TableError(f"{path.name}: holds a whole number of more than 64 bits, which TOML does not know")
    return table


def _has_endless(table: dict[str, Any]) -> bool:
    """Whether a whole number is beyond 64 bits, where sums and words fail. Source: TOML 1.0.0, Integer."""
    stack: list[Any] = [table]
    while stack:
        value = stack.pop()
        if isinstance(value, dict | list):
            stack.extend(value.values() if isinstance(value, dict) else value)
        elif isinstance(value, int) and not -(2**63) <= value < 2**63:
            return True
    return False


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_TABLE_BYTES + 1)
        if len(data) > MOST_TABLE_BYTES:
            raise TableError(f"{path.name}: is over {MOST_TABLE_BYTES:,} bytes, too long for a table")
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise TableError(f"{path.name}: is not UTF-8 text; save it as UTF-8") from error
    except OSError as error:
        raise TableError(f"{path.name}: cannot be read ({(error.strerror or 'unknown').lower()})") from error


def line_of(path: Path, key: str, section: str = "", nth: int = 0) -> int:
    """The 1-based line that sets `key` in the `[section]` given, else the section's own line, else 1.

    `nth` counts from 0 the blocks that share the header, as `[[piece]]` blocks do.
    """
    lines = _text(path).splitlines()
    start = _header_line(lines, section, nth)
    for number, line in enumerate(lines[start:], start + 1):
        if line.lstrip().startswith("["):
            break
        if line.split("=")[0].split(".")[0].strip().strip("\"'") == key:
            return number
    return max(start, 1)


def _header_line(lines: list[str], section: str, nth: int) -> int:
    """The 1-based line of a header, 0 for the part above the first header or a section not found."""
    found = [
        at
        for at, line in enumerate(lines, 1)
        if section and line.lstrip().startswith("[") and _header_name(line) == section
    ]
    return found[nth] if nth < len(found) else 0


def _header_name(line: str) -> str:
    return line.split("#")[0].strip().strip("[]").strip().strip("\"'")


@dataclass(frozen=True, slots=True)
class Section:
    """One block of a table, read value by value; each mistake is a TableError that names file and line.

    `nth` counts from 0 the blocks of the same name.
    """

    path: Path
    name: str
    values: Mapping[str, Any]
    nth: int = 0

    def mistake(self, key: str, reason: str) -> TableError:
        """The error for a value: "limits.toml, line 7: gap … (reason)"."""
        line = line_of(self.path, key, self.name, self.nth)
        return TableError(f"{self.path.name}, line {line}: {key[:_LONGEST_KEY]} {reason}")

    def only(self, keys: Iterable[str]) -> None:
        """Refuse a key that the block does not know, e.g. a misspelt one."""
        known = tuple(keys)
        for key in self.values:
            if key not in known:
                raise self.mistake(key, f"is not known here; the keys are {', '.join(known)}")

    def value(self, key: str) -> Any:
        if key not in self.values:
            raise self.mistake(key, f"is missing from [{self.name}]")
        return self.values[key]

    def length_mm(self, key: str) -> float:
        """A length written with its unit, in mm."""
        return self.as_length_mm(key, self.value(key))

    def signed_length_mm(self, key: str) -> float:
        """A length that a minus may stand before, in mm."""
        value = self.value(key)
        if isinstance(value, str) and value.startswith("-"):
            return -self.as_length_mm(key, value[1:])
        return self.as_length_mm(key, value)

    def as_length_mm(self, key: str, value: object) -> float:
        """A value found under `key`, read as a length with its unit."""
        if not isinstance(value, str) or not _ENDS_WITH_UNIT.search(value):
            raise self.mistake(key, f'is {_shown(value)}, not a length with its unit such as "0.25 in"')
        try:
            return parse_length_mm(value)
        except UnitsError as error:
            raise self.mistake(key, f"cannot be read: {error}") from error

    def number(self, key: str) -> float:
        value = self.value(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.mistake(key, f"is {_shown(value)}, not a number")
        if not abs(value) <= LONGEST_MM:
            raise self.mistake(key, f"is {_shown(value)}, beyond 1,000,000")
        return float(value)

    def whole(self, key: str) -> int:
        value = self.value(key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.mistake(key, f"is {_shown(value)}, not a whole number")
        return int(self.number(key))

    def flag(self, key: str) -> bool:
        value = self.value(key)
        if not isinstance(value, bool):
            raise self.mistake(key, f"is {_shown(value)}, not true or false")
        return value

    def text(self, key: str) -> str:
        value = self.value(key)
        if not isinstance(value, str) or not value.strip():
            raise self.mistake(key, f"is {_shown(value)}, not a text")
        return value

    def choice(self, key: str, choices: Iterable[str]) -> str:
        value, allowed = self.text(key), tuple(choices)
        if value not in allowed:
            raise self.mistake(key, f"is “{value[:40]}”; it must be one of {', '.join(allowed)}")
        return value


def sections(path: Path) -> tuple[Section, ...]:
    """Every block of a table that is made of blocks only, in the file's order."""
    table = read_table(path)
    for key, values in table.items():
        if not isinstance(values, dict):
            raise TableError(f"{path.name}, line {line_of(path, key)}: {key} stands outside a [block]")
    if not table:
        raise TableError(f"{path.name}: holds no [block] at all")
    return tuple(Section(path, key, values) for key, values in table.items())


def repeated(head: Section, name: str) -> tuple[Section, ...]:
    """The `[[name]]` blocks of a table whose upper part is `head`, in order; none where there are none."""
    blocks = head.values.get(name, [])
    if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
        raise head.mistake(name, f"must be blocks that begin with [[{name}]]")
    return tuple(Section(head.path, name, block, number) for number, block in enumerate(blocks))


def _shown(value: object) -> str:
    return f"“{value[:40]}”" if isinstance(value, str) else str(value)[:40]
