"""Words for file names: no two alike, and none that a system takes for a device."""

import pytest

from layout_core.outputs.file_names import file_words


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (("CON", "con-order"), ("con-order", "con-order-2")),
        (("con-order", "CON"), ("con-order", "con-order-2")),
        (("Moth", "Moth 2", "moth"), ("moth", "moth-2", "moth-3")),
        (("!", "?", "order"), ("order", "order-2", "order-3")),
    ],
)
def test_names_that_come_out_alike_are_told_apart(names: tuple[str, ...], words: tuple[str, ...]) -> None:
    assert tuple(file_words(enumerate(names), "order").values()) == words
