"""Colours are told apart by plain names."""

import pytest

from layout_core.art.colour_words import colour_words


@pytest.mark.parametrize(
    ("rgb", "words"),
    [
        ((255, 255, 255), "white"), ((0, 0, 0), "black"), ((128, 128, 128), "grey"),
        ((208, 208, 208), "light grey"), ((255, 0, 0), "red"), ((0, 0, 255), "blue"),
        ((10, 42, 136), "dark blue"), ((255, 255, 0), "yellow"), ((139, 69, 19), "brown"),
        ((255, 192, 203), "light pink"), ((0, 128, 128), "teal"), ((0, 100, 0), "green"),
    ],
)  # fmt: skip
def test_a_colour_has_the_name_a_person_would_use(rgb: tuple[int, int, int], words: str) -> None:
    assert colour_words(rgb) == words
