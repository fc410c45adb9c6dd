"""The shop's table of venues: how dark it is where the print is looked at."""

from pathlib import Path

from layout_core.errors import GlowError, LayoutError
from layout_core.job.lighting import Venue
from layout_core.job.lighting_bounds import checked_venue
from layout_core.tables import Section, sections, table_path

TABLE = "venues.toml"


def load_venues(path: Path | None = None) -> tuple[Venue, ...]:
    """Every venue of the table in its order. Raises TableError naming file, line and value."""
    return tuple(_venue(block) for block in sections(table_path(TABLE) if path is None else path))


def venue_named(name: str, venues: tuple[Venue, ...]) -> Venue:
    """The venue of that name; hyphens stand for blanks. Raises GlowError that lists the names there are."""
    wanted = plain(name)
    for venue in venues:
        if plain(venue.name) == wanted:
            return venue
    known = ", ".join(venue.name for venue in venues)
    raise GlowError(f"there is no venue “{name[:40]}”; the venues are {known}")


def plain(name: str) -> str:
    """The name without what people write differently: case, hyphens, blanks."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _venue(block: Section) -> Venue:
    block.only(("background_cd_m2",))
    try:
        return checked_venue(Venue(block.name, block.number("background_cd_m2")))
    except LayoutError as error:
        raise block.mistake("background_cd_m2", f"does not hold: {error}") from error
