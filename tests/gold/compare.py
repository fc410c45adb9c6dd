"""Compares a picture with its gold file, within the noise that another renderer version may bring."""

import io
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops

FOLDER = Path(__file__).parent
CLEAR_STEP = 40
"""A pixel whose channel is off by more than this (of 255) differs for the eye."""
MOST_CLEAR = 0.002
"""At most this part of all pixels may differ so."""


def assert_like_gold(name: str, png: bytes) -> None:
    """Fails when the picture differs from tests/gold/NAME.png, and then leaves NAME.actual.png and
    NAME.difference.png beside it. `python -m tests.gold.renew` makes today's pictures the gold ones."""
    actual = Image.open(io.BytesIO(png)).convert("RGB")
    gold = Image.open(FOLDER / f"{name}.png").convert("RGB")
    difference = ImageChops.difference(actual, gold) if actual.size == gold.size else None
    off = 1.0 if difference is None else clearly_off(difference)
    if off <= MOST_CLEAR:
        return
    actual.save(FOLDER / f"{name}.actual.png")
    if difference is not None:
        difference.save(FOLDER / f"{name}.difference.png")
    raise AssertionError(
        f"{name}: {actual.size} against {gold.size}, {off:.2%} of the pixels clearly differ; "
        "look at the .actual and .difference pictures in tests/gold, then run python -m tests.gold.renew"
    )


def clearly_off(difference: Image.Image) -> float:
    """The part of the pixels that differ for the eye."""
    return float((np.asarray(difference).max(axis=2) > CLEAR_STEP).mean())


def small(png: bytes, width: int) -> bytes:
    """The picture shrunk to that width, in a few colours: small enough to keep beside the tests."""
    whole = Image.open(io.BytesIO(png)).convert("RGB")
    height = round(whole.height * width / whole.width)
    shrunk = whole.resize((width, height), Image.Resampling.BOX)
    out = io.BytesIO()
    few = shrunk.quantize(256, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    few.save(out, "PNG", optimize=True)
    return out.getvalue()
