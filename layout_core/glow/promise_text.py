"""Reads and writes a promise as people say it: “reads at 2 m after 20 min in a dim hall”, “2m 20min”."""

import re

from layout_core.errors import GlowError, LayoutError
from layout_core.glow.venue import venue_named
from layout_core.job.lighting import Promise, PromiseLevel, Venue
from layout_core.job.lighting_bounds import checked_promise

_NUMBER = r"(-?\d+(?:[.,]\d*)?|[.,]\d+)"
_DISTANCE = re.compile(rf"{_NUMBER}\s*(km|cm|mm|metres?|meters?|m|feet|foot|ft)(?![\w])", re.IGNORECASE)
_TIME = re.compile(rf"{_NUMBER}\s*(minutes?|mins?|hours?|h)(?![\w])", re.IGNORECASE)
_METRES = {"km": 1000.0, "cm": 0.01, "mm": 0.001, "feet": 0.3048, "foot": 0.3048, "ft": 0.3048}
_SHAPE_WORDS = frozenset({"shape", "seen"})
_FILLING = _SHAPE_WORDS | {"reads", "read", "at", "from", "after", "in", "is", "a", "an", "the", "as", "and"}
_LONGEST = 200
_EXAMPLE = "write it like “2m 20min dim-hall” or “seen at 20 ft after 1 h in full-moon”"


def parse_promise(text: str, venues: tuple[Venue, ...]) -> tuple[Promise, Venue]:
    """The promise and venue of a text; without a venue the first one, without “seen” or “shape” it must read.

    Raises GlowError for words that are no promise and for a distance or a time out of bounds.
    """
    shown = text.strip()[:60]
    if len(text) > _LONGEST:
        raise GlowError(f"“{shown}…” is too long for a promise; {_EXAMPLE}")
    distances, times = _DISTANCE.findall(text), _TIME.findall(text)
    for found, what in ((distances, "distance"), (times, "time")):
        if len(found) != 1:
            raise GlowError(f"“{shown}” names {'more than one' if found else 'no'} {what}; {_EXAMPLE}")
    words = _DISTANCE.sub(" ", _TIME.sub(" ", text)).replace(",", " ").split()
    level: PromiseLevel = "shape" if any(word.casefold() in _SHAPE_WORDS for word in words) else "reads"
    name = " ".join(word for word in words if word.casefold() not in _FILLING)
    venue = venue_named(name, venues) if name else venues[0]
    (number, unit), (minutes, time_unit) = distances[0], times[0]
    per_minute = 60.0 if time_unit.casefold().startswith("h") else 1.0
    promise = Promise(_value(number) * _METRES.get(unit.casefold(), 1.0), _value(minutes) * per_minute, level)
    try:
        return checked_promise(promise), venue
    except LayoutError as error:
        raise GlowError(f"“{shown}”: {error}") from error


def promise_words(promise: Promise, venue: Venue) -> str:
    """“reads at 2 m after 20 min, dim hall”: the promise as one phrase."""
    verb = "reads" if promise.level == "reads" else "is seen as a shape"
    return f"{verb} at {promise.distance_m:.3g} m after {promise.minutes:.4g} min, {venue.name}"


def _value(number: str) -> float:
    return float(number.replace(",", "."))
