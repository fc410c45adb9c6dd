"""Reads the shop's TOML tables: the user's own copy where there is one, the shipped one otherwise."""

import tomllib
from pathlib import Path
from typing import Any

from layout_core.errors import TableError
from layout_core.shipped import shipped
from layout_core.user_folders import config_folder


def table_path(name: str) -> Path:
    """The file that counts for a table such as "placements.toml"."""
    own = config_folder() / name
    return own if own.is_file() else shipped("resources", name)


def read_table(path: Path) -> dict[str, Any]:
    """The parsed table. Raises TableError that names the file, and the line where TOML itself is wrong."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise TableError(
            f"{path.name}: {error}; mend the file or delete it to get the shipped one back"
        ) from error
    except UnicodeDecodeError as error:
        raise TableError(f"{path.name}: is not UTF-8 text; save it as UTF-8") from error
    except OSError as error:
        raise TableError(f"{path.name}: cannot be read ({(error.strerror or 'unknown').lower()})") from error


def line_of(path: Path, key: str, after: str = "") -> int:
    """The 1-based line that sets `key` at or below the first line that holds `after`, else that line."""
    lines = path.read_text(encoding="utf-8").splitlines()
    start = next((i for i, line in enumerate(lines) if after and after in line), 0)
    for number, line in enumerate(lines[start:], start + 1):
        if line.split("=")[0].strip().strip('"') == key:
            return number
    return start + 1
