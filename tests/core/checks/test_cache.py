"""What is remembered is bounded by count and by weight."""

import pytest

from layout_core.checks.cache import Remembered


def made(store: Remembered[str], key: str, value: str) -> bool:
    """Whether the value had to be made."""
    calls: list[str] = []

    def make() -> str:
        calls.append(key)
        return value

    assert store.get(key, make) == value
    return bool(calls)


def test_a_known_value_is_not_made_again() -> None:
    store = Remembered[str](2)
    assert made(store, "a", "one")
    assert not made(store, "a", "one")


def test_the_one_asked_for_longest_ago_goes_first() -> None:
    store = Remembered[str](2)
    for key in "ab":
        made(store, key, key)
    made(store, "a", "a")
    made(store, "c", "c")
    assert not made(store, "a", "a")
    assert made(store, "b", "b")


@pytest.mark.parametrize(("weight", "is_kept"), [(3, True), (4, False)])
def test_what_is_too_heavy_together_is_not_kept_together(weight: int, is_kept: bool) -> None:
    store = Remembered[str](9, len, 5)
    made(store, "a", "xx")
    made(store, "b", "x" * weight)
    assert made(store, "a", "xx") is not is_kept


def test_the_latest_is_kept_however_heavy() -> None:
    store = Remembered[str](9, len, 5)
    made(store, "a", "x" * 50)
    assert not made(store, "a", "x" * 50)
    made(store, "b", "y")
    made(store, "c", "z")
    assert not made(store, "b", "y"), "the weight of what was dropped no longer counts"


def test_a_maker_that_fails_leaves_nothing() -> None:
    store = Remembered[str](9)

    def broken() -> str:
        raise ValueError("cannot")

    with pytest.raises(ValueError, match="cannot"):
        store.get("a", broken)
    assert made(store, "a", "one")
