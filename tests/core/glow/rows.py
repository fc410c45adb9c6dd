"""Holds each row of the table of published glow figures against the model; shared by tests and benchmark.

A row of law, of a quotation or of a fact that the model does not compute is no check: `held` says None.
"""

import csv
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from layout_core.glow import afterglow, eye
from layout_core.glow.appearance import INK_BY_DAY
from layout_core.glow.colour import colour_difference, contrast_ratio, luminance_of_lightness
from layout_core.glow.scene import LOOKED_FOR
from layout_core.glow.visibility import resolved_m, sight_of
from layout_core.job.lighting import Charge
from tests.core.glow import oracles

CHECKS_CSV = Path(__file__).parents[2] / "data" / "glow_checks.csv"
ZERO_POINT = 12.58
"""mag/arcsec² of 1 cd/m². Source: Crumey (2014), 1.2."""


@dataclass(frozen=True, slots=True)
class Row:
    """One published figure."""

    quantity: str
    condition: str
    value: str
    tolerance: str
    source: str
    is_verified: bool

    @property
    def numbers(self) -> list[float]:
        return _numbers(self.value)


def load_rows(path: Path = CHECKS_CSV) -> tuple[Row, ...]:
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(
            Row(r["quantity"], r["condition"], r["value"], r["tolerance"], r["source"],
                r["verified|memory"] == "verified")
            for r in csv.DictReader(file)
        )  # fmt: skip


def held(row: Row, rows: Sequence[Row]) -> bool | None:
    """Whether the model gives the row's figure within its tolerance; None if it is no figure of the model."""
    check = _CHECKS.get(row.quantity)
    return None if check is None else check(row, rows)


def _numbers(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"[-+]?\d+\.?\d*(?:[eE][-+]?\d+)?", text)]


def _near(value: float, wanted: float, tolerance: float) -> bool:
    return abs(value - wanted) <= tolerance


def _rounds_to(value: float, shown: str) -> bool:
    """Whether the value, rounded as the figure is shown, is that figure."""
    places = len(shown.partition(".")[2])
    return _near(value, float(shown), 0.5000001 * 10.0**-places)


# --- afterglow -----------------------------------------------------------------------------------------

_CLASS = re.compile(r"(.+); t=([\d.]+) min")


def _class_points(name: str, rows: Sequence[Row]) -> tuple[np.ndarray, np.ndarray]:
    found = [m for r in rows if r.quantity == "afterglow_luminance_class"
             if (m := _CLASS.fullmatch(r.condition)) and m[1] == name]  # fmt: skip
    values = [r.numbers[0] for r in rows if r.quantity == "afterglow_luminance_class"
              if (m := _CLASS.fullmatch(r.condition)) and m[1] == name]  # fmt: skip
    return np.array([float(m[2]) for m in found]), np.array(values)


def _luminance_class(row: Row, rows: Sequence[Row]) -> bool | None:
    match = _CLASS.fullmatch(row.condition)
    assert match is not None
    t, values = _class_points(match[1], rows)
    l10 = math.exp(float(np.mean(np.log(values / afterglow.decay(t)))))
    model = l10 * float(afterglow.decay(float(match[2])))
    return abs(model / row.numbers[0] - 1.0) <= 0.09


_MARKS = {"28/3.6-520": 28.0, "160/22.5-2100": 160.0, "minimum": 20.0}


def _marking(row: Row, rows: Sequence[Row]) -> bool | None:
    start = next(l10 for mark, l10 in _MARKS.items() if mark in row.condition)
    if row.tolerance == "0":
        return _near(start * float(afterglow.decay(10.0)), row.numbers[0], 1e-9)
    given = re.findall(r"\d+\.\d+", row.tolerance)
    minutes = [60.0, 340.0] if start == 20.0 else [float(_numbers(row.condition)[-1])]
    models = [start * float(afterglow.decay(t)) for t in minutes]
    wanted = row.numbers[1:3] if start == 20.0 else row.numbers[:1]
    off = [abs(model / value - 1.0) for model, value in zip(models, wanted, strict=False)]
    return all(map(_rounds_to, models, given)) and max(off) <= 0.21


def _minimum(row: Row, rows: Sequence[Row]) -> bool | None:
    if not row.condition.startswith("IMO"):
        return None
    if "t=10" in row.condition:
        return _near(15.0 * float(afterglow.decay(10.0)), row.numbers[0], 1e-9)
    model = 15.0 * float(afterglow.decay(60.0))
    return _rounds_to(model, "2.04") and model >= row.numbers[0]


def _fit(row: Row, rows: Sequence[Row]) -> bool | None:
    names = sorted({m[1] for r in rows if r.is_verified and r.quantity == "afterglow_luminance_class"
                    if (m := _CLASS.fullmatch(r.condition))})  # fmt: skip
    points = [_class_points(name, rows) for name in names]
    if "pure power" in row.condition:
        error, n = _common_exponent(points, 0.0)
        return _near(n, row.numbers[0], 0.001) and _near(error, 0.078, 0.001)
    if "Chernov" in row.source:
        return _near(afterglow.EXPONENT, row.numbers[0], 0.2)
    tau = min(np.arange(0.0, 3.0, 0.001).tolist(), key=lambda tau: _common_exponent(points, tau)[0])
    error, n = _common_exponent(points, tau)
    if row.condition == "same: tau":
        return _near(tau, row.numbers[0], 0.1) and _near(afterglow.TAU_MIN, row.numbers[0], 0.1)
    return (
        _near(n, row.numbers[0], 0.02) and _near(afterglow.EXPONENT, n, 0.02) and _near(error, 0.034, 0.001)
    )


def _common_exponent(points: Sequence[tuple[np.ndarray, np.ndarray]], tau: float) -> tuple[float, float]:
    """Root mean square error in ln L and the exponent of all classes at once, each with its own L10."""
    xs = [np.log(t + tau) - np.log(t + tau).mean() for t, _ in points]
    ys = [np.log(v) - np.log(v).mean() for _, v in points]
    x, y = np.concatenate(xs), np.concatenate(ys)
    slope = float((x * y).sum() / (x * x).sum())
    return float(np.sqrt(np.mean((y - slope * x) ** 2))), -slope


def _charging(row: Row, rows: Sequence[Row]) -> bool | None:
    match = re.fullmatch(r"g\((\d+) lx,20 min\)/g\((\d+) lx,20 min\).*", row.condition)
    if match is None:
        return None
    high, low = (afterglow.charged_share(Charge("daylight lamp", float(lx), 20.0)) for lx in match.groups())
    return _rounds_to(high / low, row.value)


# --- detection -----------------------------------------------------------------------------------------


def _r_coefficient(row: Row, rows: Sequence[Row]) -> bool | None:
    return eye._A[int(row.condition[1]) - 1] == row.numbers[0]


def _cinf_coefficient(row: Row, rows: Sequence[Row]) -> bool | None:
    return eye._B[int(row.condition[1]) - 1] == row.numbers[0]


def _q(row: Row, rows: Sequence[Row]) -> bool | None:
    if row.value != "formula":
        return float(eye.blend_exponent(0.19)) == row.numbers[0]
    pattern = r"(\d\.\d+)\+(\d\.\d+) log10 B; .* (\d\.\d+)-(\d\.\d+) log10 B"
    match = re.search(pattern, row.condition)
    assert match is not None
    low, slope, high, fall = map(float, match.groups())
    wanted = ((1.0, low), (10.0**0.5, low + slope / 2.0), (10.0, high - fall), (100.0, high - 2.0 * fall))
    return all(_near(float(eye.blend_exponent(b)), q, 1e-12) for b, q in wanted)


def _eq_53(background: float) -> float:
    """R in sr of Crumey's scotopic fit, eq. 53, through a public repository."""
    return float((6.505e-4 * background**-0.25 - 8.461e-4) ** 2)


def _magnitude(illuminance_lx: float) -> float:
    return -2.5 * math.log10(illuminance_lx) - 13.99


def _background(mu: float) -> float:
    return float(10.0 ** ((ZERO_POINT - mu) / 2.5))


def _scotopic(row: Row, rows: Sequence[Row]) -> bool | None:
    return row.numbers == [6.505e-4, -8.461e-4] and _near(
        _eq_53(2e-4) / float(eye.point_term_sr(2e-4)), 1.0, 0.015
    )


def _crumey(row: Row, rows: Sequence[Row]) -> bool | None:
    value, text = row.numbers[0], row.condition
    if text.startswith("m0 at"):
        b = 2e-4
        full = _magnitude(b * float(eye.point_term_sr(b)))
        return _near(_magnitude(b * _eq_53(b)), value, 0.01) and _rounds_to(full, "6.941")
    if text.startswith("B<=1e-5"):
        b = eye.DARKEST_CD_M2
        return _near(b * float(eye.point_term_sr(b)), value, 0.01 * value)
    if text.startswith("mlim"):
        b = _background(21.0)
        return _near(_magnitude(b * float(eye.point_term_sr(b))), value, 0.02)
    if text.startswith("mu_inf"):
        b = _background(21.0)
        return _near(ZERO_POINT - 2.5 * math.log10(b * float(eye.field_term(b))), value, 0.02)
    if text.startswith("Ricco"):
        return _near(float(eye.ricco_radius_arcmin(_background(21.83))), value, 0.7)
    if text.startswith("Blackwell"):
        return _near(eye.LAMP_SP, value, 0.002)
    return _near(ZERO_POINT, value, 1e-9)


def _field_factor(row: Row, rows: Sequence[Row]) -> bool | None:
    low, high = (float(n) for n in re.findall(r"\d\.\d", row.value)[:2])
    return low <= LOOKED_FOR <= high


def _domain(row: Row, rows: Sequence[Row]) -> bool | None:
    if "background" not in row.condition:
        return None
    return bool(eye.threshold_cd_m2(1e-9, 1e-6) == eye.threshold_cd_m2(1e-5, 1e-6))


def _cross_check(row: Row, rows: Sequence[Row]) -> bool | None:
    if ".." not in row.value:
        return None
    low, high = (float(n) for n in re.findall(r"\d\.\d+", row.value))
    ratios = oracles.adrian_to_crumey()
    return low - 0.005 <= min(ratios) and max(ratios) <= high + 0.005


def _background_b(row: Row, rows: Sequence[Row]) -> bool | None:
    return _near(_background(21.83), row.numbers[0], 0.01 * row.numbers[0])


def _absolute(row: Row, rows: Sequence[Row]) -> bool | None:
    b = eye.DARKEST_CD_M2
    model = b * float(eye.field_term(b)) / eye.glow_factor(b)
    return _near(model, 6.8e-7, 0.05e-7)


# --- detail, mesopic light, colour ---------------------------------------------------------------------


def _mar(row: Row, rows: Sequence[Row]) -> bool | None:
    return _near(float(eye.smallest_angle_arcmin(_numbers(row.condition)[0])), row.numbers[0], 0.02)


def _ikeda(row: Row, rows: Sequence[Row]) -> bool | None:
    luminance = _numbers(row.condition)[0]
    angle = oracles.ikeda_arcmin(luminance)
    ratio = float(eye.smallest_angle_arcmin(luminance)) / angle
    return _near(angle, row.numbers[0], 0.02) and 1 / 1.25 <= ratio <= 1.25


def _barten(row: Row, rows: Sequence[Row]) -> bool | None:
    luminance = _numbers(row.condition)[0]
    ratio = float(eye.smallest_angle_arcmin(luminance)) / row.numbers[0]
    return _near(ratio, 1.0, 0.1) if luminance >= 1.0 else ratio > 1.1


def _sign(row: Row, rows: Sequence[Row]) -> bool | None:
    if not row.condition.startswith("stroke"):
        return None
    dark = sight_of(np.array([0.030]), eye.DARKEST_CD_M2, LOOKED_FOR, np.array([10.0]))
    return _near(float(resolved_m(19.0, dark)[0]), row.numbers[0], 0.1)


def _mes2(row: Row, rows: Sequence[Row]) -> bool | None:
    a, b, top, bottom = row.numbers
    return (a, b) == (eye.MES_A, eye.MES_B) and top / bottom == eye.MES_V0


def _mes2_percent(row: Row, rows: Sequence[Row]) -> bool | None:
    sp, photopic = _numbers(row.condition)[:2]
    share = eye.photopic_share(photopic, sp)
    return _near((eye.mesopic_cd_m2(photopic, sp, share) / photopic - 1.0) * 100.0, row.numbers[0], 0.5)


def _mes2_share(row: Row, rows: Sequence[Row]) -> bool | None:
    sp, photopic = _numbers(row.condition)[:2]
    return _near(eye.photopic_share(photopic, sp), row.numbers[0], 0.001)


def _sp(row: Row, rows: Sequence[Row]) -> bool | None:
    if "illuminant A" in row.condition:
        return _near(oracles.sp_of_illuminant("A"), row.numbers[0], 0.003)
    middle, width = _numbers(row.condition)
    ratio = oracles.sp_of_band(middle, width)
    is_ours = (middle, width) == (520.0, 80.0)
    return _near(ratio, row.numbers[0], 0.002) and (not is_ours or _near(eye.GLOW_SP, ratio, 0.002))


def _chromaticity(row: Row, rows: Sequence[Row]) -> bool | None:
    return all(map(lambda a, b: _near(a, b, 0.0005), oracles.band_xy(520.0, 80.0), row.numbers))


def _srgb(row: Row, rows: Sequence[Row]) -> bool | None:
    from layout_core.glow.appearance import GREENEST

    wanted = tuple(map(int, row.value.split(",")))
    mixed = oracles.band_in_gamut(520.0, 80.0)
    return all(abs(a - b) <= 1 for a, b in zip(mixed, wanted, strict=True)) and wanted == GREENEST


_LAMP_ROWS = {
    "D65": "daylight lamp", "D65 cut below 380 nm": "window", "FL2 (cool white tube)": "cool white tube",
    "FL11": "white tube", "A (incandescent)": "bulb", "LED-B1 (about 2700 K)": "warm LED",
    "LED-B3 (about 4000 K)": "neutral LED", "LED-B5 (about 6600 K)": "cool LED",
}  # fmt: skip


def _per_lux(row: Row, rows: Sequence[Row]) -> bool | None:
    lamp = _LAMP_ROWS.get(row.condition)
    ours = lamp is None or afterglow.LAMPS[lamp] == row.numbers[0]
    illuminant = row.condition.split(" ")[0]
    cut_nm = 380.0 if "cut" in row.condition else 300.0
    return ours and _near(oracles.charge_per_lux(illuminant, cut_nm), row.numbers[0], 0.006)


def _difference(row: Row, rows: Sequence[Row]) -> bool | None:
    l1, a1, b1, l2, a2, b2 = _numbers(row.condition)
    return _near(colour_difference((l1, a1, b1), (l2, a2, b2)), row.numbers[0], 0.0001)


_NEUTRAL = ("white", "ash grey", "sport grey", "black")
"""The cloths whose hue the row leaves open but which have next to none: b* from -2 to 0 is allowed."""


def _contrast(row: Row, rows: Sequence[Row]) -> bool | None:
    lightness = _numbers(row.condition)[0]
    difference, wcag = re.findall(r"\d+\.\d+", row.value)
    ink = luminance_of_lightness(INK_BY_DAY[0])
    # the lightness of the cloth is given to the whole number
    darker, lighter = (contrast_ratio(ink, luminance_of_lightness(lightness + d)) for d in (-0.5, 0.5))
    low, high = sorted((darker, lighter))
    is_right = low - 0.005 <= float(wcag) <= high + 0.005
    if row.condition.startswith(_NEUTRAL):
        ends = [colour_difference(INK_BY_DAY, (lightness, 0.0, b)) for b in (0.0, -2.0)]
        is_right &= min(ends) - 0.05 <= float(difference) <= max(ends) + 0.05
    return is_right


_CHECKS: dict[str, Callable[[Row, Sequence[Row]], bool | None]] = {
    "afterglow_luminance_class": _luminance_class,
    "afterglow_luminance": _marking,
    "afterglow_minimum": _minimum,
    "afterglow_fit": _fit,
    "charging": _charging,
    "crumey_R_coeff": _r_coefficient,
    "crumey_Cinf_coeff": _cinf_coefficient,
    "crumey_q": _q,
    "crumey_scotopic": _scotopic,
    "crumey_check": _crumey,
    "crumey_field_factor": _field_factor,
    "crumey_domain": _domain,
    "threshold_crosscheck": _cross_check,
    "absolute_threshold": _absolute,
    "background_B": _background_b,
    "MAR": _mar,
    "MAR_Ikeda_crosscheck": _ikeda,
    "MAR_Barten_crosscheck": _barten,
    "legibility_sanity": _sign,
    "MES2": _mes2,
    "MES2_percent_difference": _mes2_percent,
    "MES2_m": _mes2_share,
    "S/P": _sp,
    "emission_chromaticity": _chromaticity,
    "emission_sRGB": _srgb,
    "charge_per_lux": _per_lux,
    "CIEDE2000": _difference,
    "daylight_contrast": _contrast,
}
