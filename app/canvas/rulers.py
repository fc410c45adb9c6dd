"""Which ruler ticks and numbers are readable at a zoom."""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from layout_core.units import MM_PER_IN

RulerUnit = Literal["in", "mm"]

_STEPS: dict[RulerUnit, tuple[Fraction, ...]] = {
    "in": tuple(map(Fraction, ("1/32", "1/16", "1/8", "1/4", "1/2", "1", "2", "6", "12", "24", "60", "120"))),
    "mm": tuple(map(Fraction, ("1/2", "1", "5", "10", "20", "50", "100", "200", "500", "1000", "5000"))),
}
_UNIT_MM = {"in": MM_PER_IN, "mm": 1.0}
NUMBER_SPACING_PX = 32.0
TICK_SPACING_PX = 6.5


@dataclass(frozen=True, slots=True)
class Tick:
    """One tick at a distance from the sheet's corner; rank 0 is the longest; `text` where a number stands."""

    at_mm: float
    rank: int
    text: str = ""


def ruler_ticks(length_mm: float, unit: RulerUnit, px_per_mm: float) -> tuple[Tick, ...]:
    """The ticks from 0 to the length: numbers 32 px apart or more, ticks 6.5, all on round values."""
    return _ticks(length_mm, unit, round(px_per_mm, 4))


@lru_cache(maxsize=64)
def _ticks(length_mm: float, unit: RulerUnit, px_per_mm: float) -> tuple[Tick, ...]:
    unit_px = _UNIT_MM[unit] * px_per_mm
    steps = _STEPS[unit]
    numbered = next((step for step in steps if step * unit_px >= NUMBER_SPACING_PX), steps[-1])
    dividing = [step for step in steps if (numbered / step).denominator == 1]
    finest = next((step for step in dividing if step * unit_px >= TICK_SPACING_PX), numbered)
    middle = next((step for step in reversed(dividing) if finest < step < numbered), numbered)
    count = int(length_mm / _UNIT_MM[unit] / float(finest) + 1e-9)
    ticks = []
    for index in range(count + 1):
        value = index * finest
        if value % numbered == 0:
            ticks.append(Tick(float(value) * _UNIT_MM[unit], 0, f"{float(value):.7g}"))
        else:
            ticks.append(Tick(float(value) * _UNIT_MM[unit], 1 if value % middle == 0 else 2))
    return tuple(ticks)
