"""Words and marks stand out in both themes; judged from the data alone, without Qt."""

import subprocess
import sys
from pathlib import Path

import pytest

from app.style_sheet import style_sheet
from app.tokens import Theme, ThemeName, contrast, theme_named
from layout_core.shipped import shipped

WORDS, MARKS = 4.5, 3.0
"""Source: WCAG 2.2, success criteria 1.4.3 (contrast, minimum) and 1.4.11 (non-text contrast)."""

THEMES: tuple[ThemeName, ...] = ("dark", "light")
GROUNDS = ("back", "panel", "raised")


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("#000000", "#FFFFFF", 21.0),
        ("#FFFFFF", "#FFFFFF", 1.0),
        ("#767676", "#FFFFFF", 4.54),
        ("#FF0000", "#FFFFFF", 4.0),
    ],
)
def test_contrast_of_known_pairs(first: str, second: str, expected: float) -> None:
    """21:1 is WCAG's own figure; #767676 is the lightest grey it passes on white, and pure red gives 4.00."""
    assert contrast(first, second) == pytest.approx(expected, abs=0.005)
    assert contrast(first, second) == contrast(second, first)


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize(
    ("words", "grounds"),
    [
        ("text", (*GROUNDS, "hover", "matte", "accent_fill", "line")),
        ("muted", (*GROUNDS, "hover", "matte")),
        ("accent_text", (*GROUNDS, "accent_fill")),
        ("on_accent", ("accent", "accent_hover")),
        ("caution", GROUNDS),
        ("stop", GROUNDS),
        ("note", GROUNDS),
    ],
)
def test_words_stand_out(name: ThemeName, words: str, grounds: tuple[str, ...]) -> None:
    theme = theme_named(name)
    for ground in grounds:
        assert contrast(getattr(theme, words), getattr(theme, ground)) >= WORDS, ground


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize(
    ("mark", "grounds"),
    [
        ("edge", (*GROUNDS, "hover")),
        ("accent", (*GROUNDS, "hover", "accent_fill")),
        ("caution", (*GROUNDS, "hover", "matte")),
        ("stop", (*GROUNDS, "hover", "matte")),
        ("note", (*GROUNDS, "hover", "matte")),
        ("ink", ("film",)),
    ],
)
def test_marks_and_edges_stand_out(name: ThemeName, mark: str, grounds: tuple[str, ...]) -> None:
    theme = theme_named(name)
    for ground in grounds:
        assert contrast(getattr(theme, mark), getattr(theme, ground)) >= MARKS, ground


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("mark", ["accent", "caution", "stop", "note"])
@pytest.mark.parametrize("ground", ["film", "ink", "matte"])
def test_marks_over_the_sheet_stand_out_by_themselves_or_by_their_casing(
    name: ThemeName, mark: str, ground: str
) -> None:
    theme = theme_named(name)
    mark_colour, ground_colour = getattr(theme, mark), getattr(theme, ground)
    by_itself = contrast(mark_colour, ground_colour)
    by_casing = min(contrast(mark_colour, theme.casing), contrast(theme.casing, ground_colour))
    assert max(by_itself, by_casing) >= MARKS


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("garment", ["#FFFFFF", "#000000", "#808080"])
def test_selection_stands_out_on_any_garment(name: ThemeName, garment: str) -> None:
    theme = theme_named(name)
    by_casing = min(contrast(theme.accent, theme.casing), contrast(theme.casing, garment))
    assert max(contrast(theme.accent, garment), by_casing) >= MARKS


@pytest.mark.parametrize("name", THEMES)
def test_style_sheet_names_only_marks_that_are_shipped(name: ThemeName) -> None:
    folder = shipped("resources", "icons")
    sheet = style_sheet(theme_named(name), folder)
    marks = [part.split(")")[0] for part in sheet.split("url(")[1:]]
    assert marks
    assert [mark for mark in marks if not Path(mark).is_file()] == []
    assert "$" not in sheet


@pytest.mark.parametrize("name", THEMES)
def test_shipped_marks_of_controls_wear_the_theme(name: ThemeName) -> None:
    theme = theme_named(name)
    wanted = {"check": theme.on_accent, "dash": theme.on_accent}
    for path in (shipped("resources", "icons") / "controls").glob(f"*-{name}.svg"):
        kind = path.stem.removesuffix(f"-{name}")
        colour = wanted.get(kind, theme.faint if kind.endswith("-off") else theme.muted)
        assert f'stroke="{colour}"' in path.read_text(encoding="utf-8"), path.name


def test_themes_differ_and_are_known_by_name() -> None:
    dark, light = theme_named("dark"), theme_named("light")
    assert isinstance(dark, Theme)
    assert (dark.name, light.name) == ("dark", "light")
    assert dark.back != light.back


def test_tokens_and_style_sheet_need_no_qt() -> None:
    code = (
        "import sys; sys.modules['PySide6'] = None; import app.tokens, app.style_sheet; "
        "app.style_sheet.style_sheet(app.tokens.theme_named('dark'), __import__('pathlib').Path('.'))"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
