"""Finds the files that travel with the program, from a checkout, an editable install or a wheel."""

from pathlib import Path


def shipped(*parts: str) -> Path:
    """The path of a shipped file or folder, e.g. `shipped("resources", "placements.toml")`.

    Raises FileNotFoundError when the installation is incomplete.
    """
    package = Path(__file__).resolve().parent
    for root in (package / "_shipped", package.parent):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(f"{'/'.join(parts)} is missing from this installation; install duskwright again")
