"""Decay, charge, film, and inks from readings: hand-worked figures and every refusal."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import GlowError
from layout_core.glow.afterglow import (
    EXPONENT,
    FULL_CHARGE,
    LAMPS,
    TAU_MIN,
    charged_share,
    decay,
    film_share,
    ink_from_readings,
    luminance_cd_m2,
)
from layout_core.job.lighting import Charge
from tests.core.glow.scenes import ink


def from_readings(*readings: tuple[float, float]) -> object:
    return ink_from_readings("own", readings, film_um=50.0, under_reflectance=0.04)


@pytest.mark.parametrize(
    ("t", "share"),
    [(1, 6.75), (2, 4.35), (5, 2.00), (10, 1.0), (20, 0.473), (30, 0.300), (60, 0.136), (120, 0.061),
     (240, 0.0272)],
)  # fmt: skip
def test_decay_follows_the_fitted_law(t: float, share: float) -> None:
    """((10 + 1.207)/(t + 1.207))^1.175, worked by hand to three figures."""
    assert float(decay(t)) == pytest.approx(share, rel=0.006)


def test_a_full_charge_gives_the_figure_of_the_ink() -> None:
    assert float(luminance_cd_m2(ink(50.0), 10.0)) == pytest.approx(0.05)
    assert float(luminance_cd_m2(ink(50.0), 10.0, FULL_CHARGE, 0.04)) == pytest.approx(0.05)


def test_warm_light_indoors_charges_a_fifth() -> None:
    """500 lx of warm LED for 30 min give about a fifth of the class luminance (computed)."""
    share = charged_share(Charge("warm LED", 500.0, 30.0)) / charged_share(FULL_CHARGE)
    assert share == pytest.approx(0.2, abs=0.02)


def test_a_minute_of_sun_beats_the_laboratory() -> None:
    """1 min of 50 000 lx daylight gives 1.7 times the laboratory charge (computed)."""
    share = charged_share(Charge("open sky", 50_000.0, 1.0)) / charged_share(FULL_CHARGE)
    assert share == pytest.approx(1.7, abs=0.05)


@given(st.sampled_from(sorted(LAMPS)), st.floats(0.1, 1e5), st.floats(0.01, 1e4), st.floats(1.0, 10.0))
def test_more_light_or_time_never_charges_less(lamp: str, lux: float, t: float, more: float) -> None:
    share = charged_share(Charge(lamp, lux, t))
    assert 0.0 < share < 1.0
    assert charged_share(Charge(lamp, lux * more, t)) >= share
    assert charged_share(Charge(lamp, lux, t * more)) >= share


def test_a_white_underbase_helps_thin_films_most() -> None:
    """Thin limit (1.8/1.04)² = 3.0, thick limit 1; 0.66 and 0.30 at 50 um (worked by hand)."""
    assert film_share(50.0, 0.8) == pytest.approx(0.66, abs=0.005)
    assert film_share(50.0, 0.04) == pytest.approx(0.30, abs=0.005)
    assert film_share(0.01, 0.8) / film_share(0.01, 0.04) == pytest.approx((1.8 / 1.04) ** 2, rel=1e-3)
    assert film_share(5_000.0, 0.8) / film_share(5_000.0, 0.04) == pytest.approx(1.0, rel=1e-3)


def test_two_readings_give_luminance_and_exponent() -> None:
    own = ink_from_readings("own", ((10.0, 50.0), (60.0, 7.0)), film_um=50.0, under_reflectance=0.04)
    assert (own.basis, own.tau_min) == ("readings", TAU_MIN)
    assert own.l10_mcd_m2 == pytest.approx(50.0)
    assert float(luminance_cd_m2(own, 60.0)) == pytest.approx(0.007)


@given(
    st.floats(0.5, 2_000.0), st.floats(0.3, 2.0), st.floats(0.9, 1.4),
    st.lists(st.floats(1.0, 500.0), min_size=3, max_size=6, unique_by=lambda t: round(t)),
)  # fmt: skip
def test_readings_of_the_law_give_the_law_back(l10: float, tau: float, n: float, times: list[float]) -> None:
    readings = tuple((t, l10 * float(decay(t, tau, n))) for t in times)
    own = ink_from_readings("own", readings, film_um=50.0, under_reflectance=0.04)
    for t, value in readings:
        assert float(luminance_cd_m2(own, t)) * 1000.0 == pytest.approx(value, rel=0.02)


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ((), "has 0 reading"),
        (((10.0, 50.0),), "has 1 reading; two or more"),
        (((10.0, 50.0), (60.0, 70.0)), "rises from 50 at 10 min to 70 mcd/m² at 60 min"),
        (((10.0, 50.0), (60.0, 50.0)), "rises from 50"),
        (((10.0, 50.0), (10.0, 7.0)), "two readings at 10 min"),
        (((10.0, 0.0), (60.0, 7.0)), "0 mcd/m² at 10 min is no light"),
        (((10.0, 50.0), (60.0, -7.0)), "-7 mcd/m² at 60 min is no light"),
        (((10.0, math.nan), (60.0, 7.0)), "nan mcd/m² at 10 min"),
        (((0.0, 50.0), (60.0, 7.0)), "a reading at 0 min"),
        (((-5.0, 50.0), (60.0, 7.0)), "a reading at -5 min"),
        (((10.0, 50.0), (60.0, 49.0)), "hardly fades"),
        (((10.0, 500.0), (60.0, 0.5)), "fades far faster"),
    ],
)
def test_readings_that_cannot_be_are_refused_with_the_value(
    readings: tuple[tuple[float, float], ...], words: str
) -> None:
    with pytest.raises(GlowError, match=r"^own: ") as caught:
        from_readings(*readings)
    assert words in str(caught.value)


def test_the_constants_are_those_of_the_fit() -> None:
    assert (TAU_MIN, EXPONENT) == (1.207, 1.175)
