"""Refusals: one line each, whatever a stranger's file made them quote."""

import pytest

from layout_core.errors import LONGEST, ArtError, DuskwrightError, TableError, one_line


def test_a_refusal_that_quotes_too_much_is_cut() -> None:
    assert str(DuskwrightError("a" * LONGEST)) == "a" * LONGEST
    assert str(DuskwrightError("a" * (LONGEST + 1))) == "a" * (LONGEST - 1) + "…"


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("11.25 in × 19 in, “Örn” 🦋", "11.25 in × 19 in, “Örn” 🦋"),
        ("a\nb\tc\u2028d", "a b c d"),
        ("x\u202egpj.exe\u2066", "xgpj.exe"),
        ("\ufeffname\0\x1b[31m\x7f", "name[31m"),
        ("\ud800", ""),
    ],
)
def test_what_is_quoted_stays_on_one_line_and_hides_nothing(words: str, shown: str) -> None:
    assert one_line(words) == shown
    assert str(DuskwrightError(words)) == shown
    assert str(TableError(words)) == shown
    assert str(ArtError(words, words)) == f"{shown}: {shown}"
