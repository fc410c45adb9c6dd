"""Outside answers for the glow model: formulas of other authors, and colour-science for spectra.

colour-science is BSD-licensed and used by tests and benchmark only.
"""

import math
import warnings
from functools import cache
from types import ModuleType

import numpy as np

from layout_core.glow.eye import threshold_cd_m2


@cache
def colour_science() -> ModuleType:
    """The library; its remarks about optional parts that are not there are of no interest."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


_NM = np.arange(360.0, 781.0, 1.0)


@cache
def _curves() -> tuple[np.ndarray, np.ndarray]:
    """V and V' from 360 to 780 nm."""
    colour = colour_science()
    photopic = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"]
    scotopic = colour.SDS_LEFS["CIE 1951 Scotopic Standard Observer"]
    return tuple(  # type: ignore[return-value]
        np.interp(_NM, c.wavelengths, c.values, left=0.0, right=0.0) for c in (photopic, scotopic)
    )


def _band(middle_nm: float, width_nm: float) -> np.ndarray:
    return np.exp(-4.0 * math.log(2.0) * ((_NM - middle_nm) / width_nm) ** 2)


def _illuminant(name: str, nm: np.ndarray) -> np.ndarray:
    sd = colour_science().SDS_ILLUMINANTS[name]
    return np.interp(nm, sd.wavelengths, sd.values, left=0.0, right=0.0)


def _sp(power: np.ndarray) -> float:
    photopic, scotopic = _curves()
    return float(1700.0 * (power * scotopic).sum() / (683.0 * (power * photopic).sum()))


def sp_of_band(middle_nm: float, width_nm: float) -> float:
    """The scotopic to photopic ratio of a Gaussian band, K'm 1700 and Km 683 lm/W."""
    return _sp(_band(middle_nm, width_nm))


def sp_of_illuminant(name: str) -> float:
    return _sp(_illuminant(name, _NM))


def _band_xyz(middle_nm: float, width_nm: float) -> np.ndarray:
    matching = colour_science().MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    power = np.interp(matching.wavelengths, _NM, _band(middle_nm, width_nm), left=0.0, right=0.0)
    xyz: np.ndarray = (matching.values * power[:, None]).sum(axis=0)
    return xyz


def band_xy(middle_nm: float, width_nm: float) -> tuple[float, float]:
    xyz = _band_xyz(middle_nm, width_nm)
    return float(xyz[0] / xyz.sum()), float(xyz[1] / xyz.sum())


def band_in_gamut(middle_nm: float, width_nm: float) -> tuple[int, int, int]:
    """sRGB bytes of a band mixed with just so much white, in linear light, that a screen can show it."""
    colour = colour_science()
    xyz = _band_xyz(middle_nm, width_nm)
    linear = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB @ (xyz / xyz[1])
    white = -linear.min() / (1.0 - linear.min())
    mixed = (1.0 - white) * linear + white
    encoded = colour.cctf_encoding(mixed / mixed.max(), function="sRGB")
    return tuple(round(255.0 * float(v)) for v in encoded)  # type: ignore[return-value]


def charge_per_lux(illuminant: str, cut_nm: float) -> float:
    """What a lux of an illuminant excites, counted in photons, relative to D65; excitation band assumed."""
    nm = np.arange(300.0, 781.0, 1.0)
    excitation = nm / (1.0 + np.exp((nm - 430.0) / 12.0))
    photopic = np.interp(nm, _NM, _curves()[0], left=0.0)

    def excited(name: str, from_nm: float) -> float:
        power = _illuminant(name, nm)
        return float((power * excitation)[nm >= from_nm].sum() / (power * photopic).sum())

    return excited(illuminant, cut_nm) / excited("D65", 300.0)


def ikeda_arcmin(luminance_cd_m2: float, contrast_percent: float = 100.0) -> float:
    """The Landolt gap just resolved: Ikeda, Noda & Yamaguchi, read on a public page; its % inferred."""
    c, root = contrast_percent, luminance_cd_m2**0.25
    acuity = luminance_cd_m2 / (1.6293 * c**-0.3234 * (0.8034 * c**-0.1876 + root) ** 4)
    return 1.0 / acuity


def adrian_to_crumey() -> list[float]:
    """Adrian's threshold (1989, k = 1; constants from memory) over ours, B 0.001 to 0.3, 1' to 60' across."""
    ratios = []
    for background in (1e-3, 3e-3, 0.01, 0.03, 0.1, 0.3):
        for across in (1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0):
            solid_angle = math.pi * (across / 2.0 * math.pi / 10800.0) ** 2
            ours = float(threshold_cd_m2(background, solid_angle))
            ratios.append(_adrian(background, across) / ours)
    return ratios


def _adrian(background: float, across_arcmin: float) -> float:
    lg = math.log10(background)
    if background < 0.00418:
        flux, field = 10 ** (0.028 + 0.173 * lg), 10 ** (-0.891 + 0.5275 * lg + 0.0227 * lg**2)
    else:
        flux, field = 10 ** (-0.072 + 0.3372 * lg + 0.0866 * lg**2), 10 ** (-1.256 + 0.319 * lg)
    return float((flux / across_arcmin + field) ** 2)
