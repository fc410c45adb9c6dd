"""What the commands share: reading lengths, print limits and order names, and printing JSON."""

import json
from pathlib import Path

import click

from layout_core.art.repair import KINDS, RepairKind
from layout_core.errors import DuskwrightError, LayoutError, TableError, UnitsError
from layout_core.job.limits import PrintLimits, load_limits
from layout_core.job.model import Job
from layout_core.units import parse_length_mm

PATH = click.Path(path_type=Path)

_USUAL: tuple[RepairKind, ...] = ("specks", "pinholes", "thicken", "open")
FIX_WORDS = f"{', '.join(KINDS)}, or all (that is {', '.join(_USUAL)})"


def length_mm(text: str, option: str) -> float:
    """The length of an option in mm, above 0."""
    try:
        found_mm = parse_length_mm(text)
    except UnitsError as error:
        raise click.UsageError(f"{option}: {error}") from error
    if found_mm <= 0:
        raise click.UsageError(f"{option}: a length must be more than 0")
    return found_mm


def named_limits(name: str) -> PrintLimits:
    """The print limits of that name, or of a TOML file."""
    path = Path(name)
    if path.suffix.lower() != ".toml":
        return load_limits(name)
    try:
        return load_limits(path=path)
    except TableError as error:
        raise DuskwrightError(str(error)) from error.__cause__  # it is no table of ours to get back


def fix_kinds(text: str) -> tuple[RepairKind, ...]:
    """The repairs that a person listed, by name and with commas between."""
    words = [word.strip().casefold() for word in text.split(",") if word.strip()]
    unknown = [word for word in words if word not in KINDS and word != "all"]
    if unknown or not words:
        shown = f"“{unknown[0][:20]}” is no repair" if unknown else "names no repair"
        raise click.UsageError(f"--fix: {shown}; there are {FIX_WORDS}.")
    return tuple(kind for kind in KINDS if kind in words or ("all" in words and kind in _USUAL))


def order_id_of(job: Job, name: str, file_name: str) -> int:
    """The id of the order of that name, whatever its capitals."""
    wanted = name.strip().casefold()
    for order in job.orders:
        if order.name.casefold() == wanted:
            return order.order_id
    names = ", ".join(order.name for order in job.orders) or "none at all"
    raise LayoutError(f"{file_name}: has no order “{name[:60]}”; its orders are: {names}")


def print_json(document: object) -> None:
    """The document on stdout; nothing for None."""
    if document is not None:
        click.echo(json.dumps(document, indent=1))
