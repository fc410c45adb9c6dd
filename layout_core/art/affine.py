"""Plane affine maps as the six numbers of SVG's matrix(a b c d e f)."""

import math

import numpy as np
from numpy.typing import NDArray
from svgelements import Matrix

Affine = tuple[float, float, float, float, float, float]
Points = NDArray[np.float64]

IDENTITY: Affine = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def after(outer: Affine, inner: Affine) -> Affine:
    """The map that applies inner first and outer to its result."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f)


def mapped(points: Points, affine: Affine) -> Points:
    """The points, any array whose last axis is x and y, under the map."""
    a, b, c, d, e, f = affine
    x, y = points[..., 0], points[..., 1]
    return np.stack((a * x + c * y + e, b * x + d * y + f), axis=-1)


def shift(x: float, y: float) -> Affine:
    return (1.0, 0.0, 0.0, 1.0, x, y)


def determinant(affine: Affine) -> float:
    return affine[0] * affine[3] - affine[1] * affine[2]


def inverse(affine: Affine) -> Affine:
    """The map that undoes this one, whose determinant must not be 0."""
    a, b, c, d, e, f = affine
    det = determinant(affine)
    return (d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det)


def greatest_stretch(affine: Affine) -> float:
    """The largest factor by which the map lengthens any segment (its greater singular value)."""
    a, b, c, d, _, _ = affine
    mean = (a * a + b * b + c * c + d * d) / 2
    return math.sqrt(max(0.0, mean + math.sqrt(max(0.0, mean * mean - determinant(affine) ** 2))))


def parsed_transform(text: str) -> Affine | None:
    """The map an SVG transform attribute states; None when it cannot be read."""
    if not text:
        return IDENTITY
    try:
        matrix = Matrix(text)
        numbers = tuple(float(getattr(matrix, letter)) for letter in "abcdef")
    except (ValueError, TypeError, IndexError, AttributeError, ZeroDivisionError):
        return None
    if not all(math.isfinite(number) for number in numbers):
        return None
    return (numbers[0], numbers[1], numbers[2], numbers[3], numbers[4], numbers[5])
