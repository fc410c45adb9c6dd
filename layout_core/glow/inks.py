"""The shop's table of inks: presets, data sheets, and what its own swatches showed."""

from pathlib import Path

from layout_core.errors import DuskwrightError, GlowError, LayoutError, TableError
from layout_core.files import write_whole
from layout_core.glow.afterglow import EXPONENT, TAU_MIN, ink_from_readings
from layout_core.glow.venue import plain
from layout_core.job.lighting import Ink
from layout_core.job.lighting_bounds import INK_BASES, checked_ink
from layout_core.tables import Section, make_own_table, sections, table_path

TABLE = "inks.toml"
_NUMBERS = ("luminance_10min", "tau_min", "exponent", "film_um", "under_reflectance")
_MOST_READING = 1_000_000.0
"""The most minutes or mcd/m² of a reading, as of any number of a table. Invented."""
_TRUST = {"assumed": 0, "readings": 0, "swatch": 1}
"""What was seen on the shop's own swatch beats the rest; another maker's data sheet beats nothing."""

BASIS_WORDS = {
    "assumed": "an assumed ink, not measured",
    "readings": "an ink from luminance readings",
    "swatch": "the shop's own swatch",
}


def load_inks(path: Path | None = None) -> tuple[Ink, ...]:
    """Every ink of the table in its order. Raises TableError naming file, line, value and reason."""
    return tuple(_ink(block) for block in sections(table_path(TABLE) if path is None else path))


def ink_named(name: str, inks: tuple[Ink, ...]) -> Ink:
    """The ink of that name. Raises GlowError that lists the names there are."""
    for ink in inks:
        if plain(ink.name) == plain(name):
            return ink
    raise GlowError(f"there is no ink “{name[:40]}”; the inks are {', '.join(ink.name for ink in inks)}")


def preferred_ink(inks: tuple[Ink, ...]) -> Ink:
    """The ink a new job begins with: the last one calibrated on a swatch, else the table's first."""
    best = max(range(len(inks)), key=lambda n: (_TRUST[inks[n].basis], n if _TRUST[inks[n].basis] else -n))
    return inks[best]


def keep_ink(ink: Ink) -> Path:
    """Add the ink to the shop's own table, or replace the one of its name; the file that was written.

    Raises LayoutError for values that cannot be, TableError when the table has a mistake, SaveError.
    """
    ink = checked_ink(ink)
    path = make_own_table(TABLE)
    if any(plain(known.name) == plain(ink.name) for known in load_inks(path)):
        text = _without_block(path.read_text("utf-8"), ink.name)
    else:
        text = path.read_text("utf-8")
    write_whole(path, f"{text.rstrip()}\n\n{_block_text(ink)}".encode())
    return path


def _without_block(text: str, name: str) -> str:
    kept: list[str] = []
    is_inside = False
    for line in text.splitlines():
        if line.lstrip().startswith("["):
            is_inside = plain(line.split("#")[0].strip().strip('[]"')) == plain(name)
        if not is_inside:
            kept.append(line)
    return "\n".join(kept)


def _block_text(ink: Ink) -> str:
    name = ink.name.replace("\\", "\\\\").replace('"', '\\"')
    return (
        f'["{name}"]\nluminance_10min = {ink.l10_mcd_m2:.4g}\ntau_min = {ink.tau_min:.4g}\n'
        f"exponent = {ink.exponent:.4g}\nfilm_um = {ink.film_um:.4g}\n"
        f'under_reflectance = {ink.under_reflectance:.4g}\nbasis = "{ink.basis}"\n'
    )


def _ink(block: Section) -> Ink:
    block.only((*_NUMBERS, "basis", "readings"))
    if ("readings" in block.values) == ("luminance_10min" in block.values):
        raise TableError(
            f"{block.path.name}: [{block.name}] needs either luminance_10min or readings, and not both"
        )
    basis = block.choice("basis", INK_BASES)
    at = "readings" if "readings" in block.values else "luminance_10min"
    try:
        if at == "readings":
            return checked_ink(_from_readings(block))
        return checked_ink(
            Ink(
                block.name,
                block.number(at),
                _or(block, "tau_min", TAU_MIN),
                _or(block, "exponent", EXPONENT),
                block.number("film_um"),
                block.number("under_reflectance"),
                basis,  # type: ignore[arg-type]  # `choice` lets nothing else through
            )
        )
    except (LayoutError, GlowError) as error:
        raise block.mistake(_key_of(error, at), f"does not hold: {error}") from error


def _key_of(error: DuskwrightError, at: str) -> str:
    """The key whose value the refusal is about, as far as its words tell."""
    words = {"time constant": "tau_min", "exponent": "exponent", "under the film": "under_reflectance",
             "the film is": "film_um"}  # fmt: skip
    return next((key for word, key in words.items() if word in str(error)), at)


def _from_readings(block: Section) -> Ink:
    rows = block.value("readings")
    pairs: list[tuple[float, float]] = []
    for row in rows if isinstance(rows, list) else [rows]:
        if not isinstance(row, list) or len(row) != 2 or not all(map(_is_number, row)):
            raise block.mistake("readings", "must be pairs such as [[10, 50], [60, 7]]: minutes, mcd/m²")
        pairs.append((float(row[0]), float(row[1])))
    return ink_from_readings(
        block.name, tuple(pairs), film_um=block.number("film_um"),
        under_reflectance=block.number("under_reflectance"),
    )  # fmt: skip


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= _MOST_READING


def _or(block: Section, key: str, default: float) -> float:
    return block.number(key) if key in block.values else default
