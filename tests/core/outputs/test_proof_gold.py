"""The proof looks as it did; `python -m tests.gold.renew` after a wanted change."""

import pytest
from PIL import Image, ImageChops

from tests.gold.compare import MOST_CLEAR, assert_like_gold, clearly_off
from tests.gold.scenes import SCENES


@pytest.mark.parametrize("name", SCENES)
def test_proof_looks_like_its_gold_picture(name: str) -> None:
    assert_like_gold(name, SCENES[name]())


def test_comparison_sees_a_missing_line_of_words() -> None:
    """A bar of 40 x 12 px on a page of 510 x 1500 is far above the tolerance's noise floor of zero."""
    page = Image.new("RGB", (510, 300), "white")
    marked = page.copy()
    marked.paste("black", (10, 10, 50, 22))
    assert clearly_off(ImageChops.difference(page, page)) == 0.0
    assert clearly_off(ImageChops.difference(page, marked)) > MOST_CLEAR
