"""The axes of the lights-out strip: minutes along it, distance up it, both logarithmic."""

import math
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.viewing import LEAST_M, MOST_M, MOST_MINUTES

USUAL_MINUTES = 120.0
TOP_M = 36.0
MINUTE_TICKS = (0.0, 1.0, 5.0, 10.0, 20.0, 60.0, 120.0, 240.0, 480.0)
DISTANCE_TICKS = (0.3, 1.0, 3.0, 10.0, 30.0)


@dataclass(frozen=True, slots=True)
class StripScale:
    """Between a box of pixels, and minutes (0 to `most_minutes`) and metres (0.3 to 36)."""

    box: QRectF
    most_minutes: float = USUAL_MINUTES

    def x(self, minutes: float) -> float:
        share = math.log1p(max(minutes, 0.0)) / math.log1p(self.most_minutes)
        return self.box.left() + self.box.width() * share

    def minutes(self, x: float) -> float:
        """Whole minutes from five on, halves below: finer than that nobody aims."""
        share = min(max((x - self.box.left()) / max(self.box.width(), 1.0), 0.0), 1.0)
        found = math.expm1(share * math.log1p(self.most_minutes))
        return float(round(found)) if found >= 5.0 else round(found * 2.0) / 2.0

    def y(self, distance_m: float) -> float:
        """Below 0.3 m it is the foot of the box, beyond 36 m its top."""
        within = min(max(distance_m, LEAST_M), TOP_M)
        share = math.log(within / LEAST_M) / math.log(TOP_M / LEAST_M)
        return self.box.bottom() - self.box.height() * share

    def distance_m(self, y: float) -> float:
        share = min(max((self.box.bottom() - y) / max(self.box.height(), 1.0), 0.0), 1.0)
        return float(min(LEAST_M * (TOP_M / LEAST_M) ** share, MOST_M))


def minutes_stepped(minutes: float, steps: int) -> float:
    """The next moments worth looking at: by half minutes at first, by ten in the end."""
    for _ in range(abs(steps)):
        at = minutes if steps > 0 else minutes - 1e-6
        step = 0.5 if at < 2.0 else 1.0 if at < 20.0 else 5.0 if at < 60.0 else 10.0
        minutes = minutes + step if steps > 0 else minutes - step
    return min(max(minutes, 0.0), MOST_MINUTES)


def distance_stepped(distance_m: float, steps: int) -> float:
    """The distance some steps of a tenth of a decade nearer or farther."""
    return float(distance_m * 10.0 ** (steps / 20.0))
