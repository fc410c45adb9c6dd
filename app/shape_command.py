"""The command that makes art from a stock shape and its figures."""

from pathlib import Path
from typing import Any

import click

from app.command_input import PATH, length_mm, named_limits, print_json
from app.console import progress_shown
from layout_core.art.stock import (
    Parameter,
    StockKind,
    StockShape,
    Value,
    stock_kind,
    stock_kinds,
    stock_shape,
)
from layout_core.units import write_length


@click.command()
@click.argument("kind", required=False)
@click.argument("figures", nargs=-1)
@click.option("-o", "--out", type=PATH, help="The SVG file to write.")
@click.option("--list", "is_list", is_flag=True, help="List the shapes with their figures.")
@click.option("--limits", default="glow", show_default=True, help="Name of the print limits, or a TOML file.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def shape(
    kind: str | None, figures: tuple[str, ...], out: Path | None, is_list: bool, limits: str, as_json: bool
) -> None:
    """Make art from a stock shape and check it, e.g. “shape star points=7 size=3in -o star.svg”.

    Figures that are not named keep the shape's own. Exit code 1 if any finding is a stop.
    """
    if is_list:
        kinds = [stock_kind(kind)] if kind else list(stock_kinds())
        print_json([_kind_document(one) for one in kinds] if as_json else None)
        if not as_json:
            click.echo("\n".join(line for one in kinds for line in _kind_lines(one)))
        return
    if kind is None or out is None:
        raise click.UsageError("name a shape and a file (-o); “shape --list” lists the shapes")
    _write(_shape(stock_kind(kind), figures), out, limits, as_json)


def _write(wanted: StockShape, out: Path, limits: str, as_json: bool) -> None:
    print_limits = named_limits(limits)
    from app.reports import check_document, check_lines, has_stop
    from layout_core.art.stock import stock_artwork
    from layout_core.checks.run import check_artwork
    from layout_core.files import write_whole

    with progress_shown() as progress:
        artwork = stock_artwork(wanted)
        report = check_artwork(artwork, artwork.width_mm, print_limits, progress=progress)
    write_whole(out, artwork.source)
    if as_json:
        figures = {"shape": wanted.kind, "figures": dict(wanted.parameters)}
        print_json({**check_document(str(out), artwork, report), **figures})
    else:
        click.echo("\n".join(check_lines(str(out), artwork, report)))
    click.get_current_context().exit(int(has_stop([report])))


def _shape(kind: StockKind, figures: tuple[str, ...]) -> StockShape:
    named = {_key(parameter): parameter for parameter in kind.parameters}
    values: dict[str, Value] = {}
    for figure in figures:
        key, sign, text = figure.partition("=")
        parameter = named.get(key.strip().casefold())
        if not sign or parameter is None:
            names = ", ".join(named) or "none"
            raise click.UsageError(f"“{figure[:40]}” is no figure of a {kind.name.lower()}; it has {names}")
        values[parameter.name] = _value(parameter, key, text.strip())
    return stock_shape(kind.key, **values)


def _value(parameter: Parameter, key: str, text: str) -> Value:
    """A length with its unit, a share as 0.4 or 40 %, an angle in degrees, or words."""
    if isinstance(parameter.default, str):
        return text
    if parameter.sort == "length":
        return 0.0 if text == "0" else length_mm(text, key)
    is_percent = parameter.sort == "share" and text.endswith("%")
    try:
        number = float(text.removesuffix("%").removesuffix("°"))
    except ValueError:
        raise click.UsageError(f"{key}: “{text[:20]}” is no number") from None
    return number / 100.0 if is_percent else number


def _key(parameter: Parameter) -> str:
    return parameter.name.removesuffix("_mm").removesuffix("_deg")


def _kind_lines(kind: StockKind) -> list[str]:
    return [
        f"{kind.key}: {kind.name}",
        *(f"  {_key(one)}={_shown(one, one.default)}  {one.words}" for one in kind.parameters),
    ]


def _shown(parameter: Parameter, value: Value) -> str:
    if isinstance(value, str):
        return value
    return write_length(value).replace(" ", "") if parameter.sort == "length" else f"{value:g}"


def _kind_document(kind: StockKind) -> dict[str, Any]:
    return {
        "shape": kind.key,
        "name": kind.name,
        "figures": [
            {"name": _key(one), "words": one.words, "sort": one.sort, "default": one.default}
            for one in kind.parameters
        ],
    }
