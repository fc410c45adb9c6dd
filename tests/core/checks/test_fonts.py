"""Words left out of art because their font is not here are a stop that names the font."""

from dataclasses import replace

from layout_core.art.font_words import missing_note
from layout_core.checks.art import check_artwork
from layout_core.checks.cache import CheckCache
from layout_core.checks.findings import Severity
from layout_core.checks.fonts import font_findings
from tests.make import GLOW, make_artwork


def test_each_missing_font_is_one_stop_with_its_name() -> None:
    told = missing_note("Lantern Gothic", ["Night walk", "Tide"])
    notes = (told, "Something else", missing_note("Moth", ["x"]))
    first, second = font_findings(replace(make_artwork(), notes=notes))
    assert first.severity is Severity.STOP
    assert "“Lantern Gothic”" in first.message
    assert (first.rule, second.rule) == ("font_missing_lantern_gothic", "font_missing_moth")
    assert font_findings(make_artwork()) == ()


def test_the_check_tells_it_and_a_cache_does_not_forget_it() -> None:
    cache = CheckCache()
    art = make_artwork()
    lacking = replace(art, notes=(missing_note("Moth", ["x"]),))
    rules = [
        [finding.rule for finding in check_artwork(one, 100.0, GLOW, cache).findings]
        for one in (art, lacking, art)
    ]
    assert ["font_missing_moth" in found for found in rules] == [False, True, False]
