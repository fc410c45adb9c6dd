"""The colours by meaning, as data, without Qt."""

import re
from dataclasses import dataclass, fields
from functools import cache
from typing import Literal

from layout_core.errors import TableError
from layout_core.shipped import shipped
from layout_core.tables import read_table

ThemeName = Literal["dark", "light"]
_COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours, each "#RRGGBB"; resources/themes.toml says what each is for."""

    name: ThemeName
    back: str
    panel: str
    raised: str
    hover: str
    line: str
    edge: str
    text: str
    muted: str
    faint: str
    accent: str
    accent_hover: str
    accent_text: str
    accent_fill: str
    on_accent: str
    matte: str
    film: str
    film_edge: str
    ink: str
    casing: str
    caution: str
    stop: str
    note: str


@cache
def theme_named(name: ThemeName) -> Theme:
    """The shipped theme; raises TableError when the file lacks a colour or holds something else."""
    path = shipped("resources", "themes.toml")
    table = read_table(path).get(name, {})
    colours = {field.name: table.get(field.name) for field in fields(Theme) if field.name != "name"}
    for token, colour in colours.items():
        if not isinstance(colour, str) or not _COLOUR.fullmatch(colour):
            raise TableError(f'{path.name}: [{name}] {token} must be a colour such as "#14171A"')
    return Theme(name=name, **colours)


def contrast(first: str, second: str) -> float:
    """How far two colours stand apart, 1 (the same) to 21 (black on white).

    Source: WCAG 2.2, definitions of relative luminance and contrast ratio.
    """
    light, dark = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255.0) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
