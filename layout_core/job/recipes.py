"""How each fabric takes a transfer in the heat press, from the shop's table."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from layout_core.tables import Section, sections, table_path

TABLE = "press_recipes.toml"
PEELS = ("hot", "warm", "cold")
USUAL_FABRIC = "cotton"

_ALWAYS = ("presses", "remark", "words")
_PRESSED = ("heat_f", "seconds", "pressure", "pre_press_s", "peel", "peel_after_s", "caution")


@dataclass(frozen=True, slots=True)
class PressSetting:
    """Heat in degrees Fahrenheit, times in seconds, pressure on a press's own scale of 1 to 10.

    Pairs are least and most. Common practice, no source; the transfer's own sheet outranks all of it.
    """

    heat_f: tuple[float, float]
    seconds: float
    pressure: tuple[float, float]
    pre_press_s: tuple[float, float]
    peel: str
    peel_after_s: float
    caution: str

    @property
    def heat_c(self) -> tuple[float, float]:
        """The heat in degrees Celsius."""
        return celsius(self.heat_f[0]), celsius(self.heat_f[1])


@dataclass(frozen=True, slots=True)
class Recipe:
    """One fabric; `setting` None means that it does not take the heat and must not be pressed."""

    fabric: str
    words: tuple[str, ...]
    remark: str
    setting: PressSetting | None


def load_recipes(path: Path | None = None) -> tuple[Recipe, ...]:
    """Every fabric of the shop's table in its order. Raises TableError naming file and line."""
    return tuple(_recipe(block) for block in sections(table_path(TABLE) if path is None else path))


def recipe_for(fabric: str, recipes: Sequence[Recipe]) -> Recipe | None:
    """The recipe of a fabric by its name or one of its other words; None when the table has neither."""
    wanted = _plain(fabric)
    return next((r for r in recipes if wanted in (_plain(r.fabric), *map(_plain, r.words))), None)


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius. Source: NIST Special Publication 811 (2008), appendix B.8: t/C = (t/F - 32) / 1.8."""
    return (fahrenheit - 32.0) / 1.8


def fahrenheit(celsius_degrees: float) -> float:
    """Degrees Fahrenheit, the reverse of `celsius`."""
    return celsius_degrees * 1.8 + 32.0


def _recipe(block: Section) -> Recipe:
    block.only((*_ALWAYS, *_PRESSED))
    words = block.value("words")
    if not isinstance(words, list) or not all(isinstance(word, str) for word in words):
        raise block.mistake("words", "must be a list of texts")
    setting = _setting(block) if block.flag("presses") else None
    return Recipe(block.name, tuple(words), block.text("remark"), setting)


def _setting(block: Section) -> PressSetting:
    caution = block.value("caution")
    if not isinstance(caution, str):
        raise block.mistake("caution", "must be a text, empty when there is nothing to warn of")
    return PressSetting(
        heat_f=_pair(block, "heat_f", 100.0, 500.0),
        seconds=_within(block, "seconds", block.number("seconds"), 1.0, 120.0),
        pressure=_pair(block, "pressure", 1.0, 10.0),
        pre_press_s=_pair(block, "pre_press_s", 0.0, 60.0),
        peel=block.choice("peel", PEELS),
        peel_after_s=_within(block, "peel_after_s", block.number("peel_after_s"), 0.0, 3600.0),
        caution=caution,
    )


def _pair(block: Section, key: str, least: float, most: float) -> tuple[float, float]:
    value = block.value(key)
    if not isinstance(value, list) or len(value) != 2:
        raise block.mistake(key, "must be two numbers: least and most")
    for one in value:
        if isinstance(one, bool) or not isinstance(one, int | float):
            raise block.mistake(key, "must be two numbers: least and most")
        _within(block, key, float(one), least, most)
    if value[0] > value[1]:
        raise block.mistake(key, "must name the lesser number first")
    return float(value[0]), float(value[1])


def _within(block: Section, key: str, value: float, least: float, most: float) -> float:
    if not least <= value <= most:
        raise block.mistake(key, f"is {value:g}; it must be from {least:g} to {most:g}")
    return value


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()
