"""The colour difference against the published pairs, and CIELAB of the sRGB corners."""

import numpy as np
import pytest

from layout_core.art.lab import difference, hex_of, lab_of, rgb_of
from tests.core.glow.oracles import colour_science

PAIRS = [
    ((50.0000, 2.6772, -79.7751), (50.0000, 0.0000, -82.7485), 2.0425),
    ((50.0000, 3.1571, -77.2803), (50.0000, 0.0000, -82.7485), 2.8615),
    ((50.0000, 2.8361, -74.0200), (50.0000, 0.0000, -82.7485), 3.4412),
    ((50.0000, 0.0000, 0.0000), (50.0000, -1.0000, 2.0000), 2.3669),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0009), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0011), 7.2195),
    ((50.0000, 2.5000, 0.0000), (50.0000, 0.0000, -2.5000), 4.3065),
    ((50.0000, 2.5000, 0.0000), (73.0000, 25.0000, -18.0000), 27.1492),
    ((50.0000, 2.5000, 0.0000), (61.0000, -5.0000, 29.0000), 22.8977),
    ((50.0000, 2.5000, 0.0000), (56.0000, -27.0000, -3.0000), 31.9030),
    ((50.0000, 2.5000, 0.0000), (58.0000, 24.0000, 15.0000), 19.4535),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
"""Source: Sharma, Wu & Dalal 2005, Color Res. Appl. 30(1), table 1 (pairs and results, to four places)."""


@pytest.mark.parametrize(("first", "second", "expected"), PAIRS)
def test_difference_of_published_pairs(
    first: tuple[float, ...], second: tuple[float, ...], expected: float
) -> None:
    assert float(difference(first, second)) == pytest.approx(expected, abs=5.1e-5)
    assert float(difference(second, first)) == pytest.approx(expected, abs=5.1e-5)


def test_difference_agrees_with_an_independent_library() -> None:
    rng = np.random.default_rng(11)
    first, second = rng.uniform((0, -100, -100), (100, 100, 100), (2, 5000, 3))
    theirs = colour_science().difference.delta_E_CIE2000(first, second)
    assert np.abs(difference(first, second) - theirs).max() < 1e-9


def test_lab_of_white_grey_and_the_primaries() -> None:
    """Rounded values that follow from IEC 61966-2-1; colour-science is the oracle for the rest."""
    assert lab_of((255, 255, 255)) == pytest.approx([100, 0, 0], abs=1e-9)
    assert lab_of((0, 0, 0)) == pytest.approx([0, 0, 0], abs=1e-9)
    rgb = np.array([(255, 0, 0), (0, 255, 0), (0, 0, 255), (119, 119, 119), (12, 200, 90)])
    colour = colour_science()
    theirs = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb / 255), (0.3127, 0.3290))
    assert np.abs(lab_of(rgb) - theirs).max() < 0.05


def test_hex_and_bytes_are_each_others_inverse() -> None:
    assert hex_of((9, 160, 255)) == "#09a0ff"
    assert rgb_of("#09a0ff") == (9, 160, 255)
