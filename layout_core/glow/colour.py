"""Colour arithmetic: sRGB, CIELAB, colour difference and contrast."""

import math

Rgb = tuple[int, int, int]
Triple = tuple[float, float, float]

_D65 = (0.95047, 1.0, 1.08883)
_TO_LINEAR_RGB = (
    (3.2404542, -1.5371385, -0.4985314),
    (-0.9692660, 1.8760108, 0.0415560),
    (0.0556434, -0.2040259, 1.0572252),
)
"""XYZ under D65 to linear sRGB. Source: IEC 61966-2-1:1999."""
_LAB_STEP = 6.0 / 29.0


def rgb_of(colour: str) -> Rgb:
    """The three bytes of #RRGGBB."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def hex_of(rgb: Rgb) -> str:
    """#RRGGBB of three bytes."""
    return "#{:02X}{:02X}{:02X}".format(*rgb)


def decoded(byte: float) -> float:
    """The linear light, 0 to 1, of an sRGB byte. Source: IEC 61966-2-1:1999."""
    value = byte / 255.0
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def encoded(light: float) -> int:
    """The sRGB byte of linear light, cut to 0 to 1."""
    light = min(max(light, 0.0), 1.0)
    value = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1.0 / 2.4) - 0.055
    return round(255.0 * value)


def luminance_of(rgb: Rgb) -> float:
    """The relative luminance, 0 to 1. Source: IEC 61966-2-1:1999; WCAG 2.2 names it so too."""
    red, green, blue = map(decoded, rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def rgb_of_lab(lab: Triple) -> Rgb:
    """The sRGB bytes of a CIELAB colour under D65, cut to what a screen can show."""
    xyz = tuple(white * _unlabbed(f) for white, f in zip(_D65, _lab_steps(lab), strict=True))
    red, green, blue = (encoded(sum(a * b for a, b in zip(row, xyz, strict=True))) for row in _TO_LINEAR_RGB)
    return red, green, blue


def luminance_of_lightness(lightness: float) -> float:
    """Relative luminance Y, 0 to 1, of a CIELAB lightness 0 to 100. Source: CIE 15:2004."""
    return _unlabbed((lightness + 16.0) / 116.0)


def contrast_ratio(first: float, second: float) -> float:
    """The contrast of two relative luminances, 1 to 21. Source: WCAG 2.2, definition of contrast ratio."""
    high, low = max(first, second), min(first, second)
    return (high + 0.05) / (low + 0.05)


def lab_of_rgb(rgb: Rgb) -> Triple:
    """CIELAB under D65 of sRGB bytes."""
    red, green, blue = map(decoded, rgb)
    xyz = (
        0.4124564 * red + 0.3575761 * green + 0.1804375 * blue,
        0.2126729 * red + 0.7151522 * green + 0.0721750 * blue,
        0.0193339 * red + 0.1191920 * green + 0.9503041 * blue,
    )
    fx, fy, fz = (_labbed(value / white) for value, white in zip(xyz, _D65, strict=True))
    return 116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)


def colour_difference(first: Triple, second: Triple) -> float:
    """CIEDE2000 of two CIELAB colours.

    Source: Sharma, Wu & Dalal (2005), Color Research & Application 30(1), 21.
    """
    (l1, a1, b1), (l2, a2, b2) = first, second
    mean_c = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2.0
    stretch = 1.5 - 0.5 * math.sqrt(mean_c**7 / (mean_c**7 + 25.0**7))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = math.degrees(math.atan2(b1, a1)) % 360.0, math.degrees(math.atan2(b2, a2)) % 360.0
    turn = 0.0 if c1 * c2 == 0.0 else (h2 - h1 + 180.0) % 360.0 - 180.0
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2.0 * math.sqrt(c1 * c2) * math.sin(math.radians(turn) / 2.0)
    mean_l, mean_c = (l1 + l2) / 2.0, (c1 + c2) / 2.0
    mean_h = _mean_hue(h1, h2, c1 * c2)
    s_l = 1.0 + 0.015 * (mean_l - 50.0) ** 2 / math.sqrt(20.0 + (mean_l - 50.0) ** 2)
    s_c, s_h = 1.0 + 0.045 * mean_c, 1.0 + 0.015 * mean_c * _hue_weight(mean_h)
    bend = -2.0 * math.sqrt(mean_c**7 / (mean_c**7 + 25.0**7))
    bend *= math.sin(math.radians(60.0 * math.exp(-(((mean_h - 275.0) / 25.0) ** 2))))
    light, chroma, hue = d_l / s_l, d_c / s_c, d_h / s_h
    return math.sqrt(max(light**2 + chroma**2 + hue**2 + bend * chroma * hue, 0.0))


def _mean_hue(h1: float, h2: float, product: float) -> float:
    if product == 0.0:
        return h1 + h2
    if abs(h1 - h2) <= 180.0:
        return (h1 + h2) / 2.0
    return (h1 + h2 + 360.0) / 2.0 if h1 + h2 < 360.0 else (h1 + h2 - 360.0) / 2.0


def _hue_weight(hue: float) -> float:
    def wave(amount: float, times: float, shift: float) -> float:
        return amount * math.cos(math.radians(times * hue + shift))

    return 1.0 - wave(0.17, 1, -30) + wave(0.24, 2, 0) + wave(0.32, 3, 6) - wave(0.20, 4, -63)


def _lab_steps(lab: Triple) -> Triple:
    lightness, a, b = lab
    fy = (lightness + 16.0) / 116.0
    return fy + a / 500.0, fy, fy - b / 200.0


def _unlabbed(f: float) -> float:
    return float(f**3) if f > _LAB_STEP else 3.0 * _LAB_STEP**2 * (f - 4.0 / 29.0)


def _labbed(t: float) -> float:
    return float(t ** (1.0 / 3.0)) if t > _LAB_STEP**3 else t / (3.0 * _LAB_STEP**2) + 4.0 / 29.0
