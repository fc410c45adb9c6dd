"""Placements: the trade's widths, and how art is fitted to them."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import LayoutError, TableError
from layout_core.job.placements import (
    GARMENT_SIZES,
    Placement,
    load_placements,
    placement_named,
    preset_width_mm,
)
from layout_core.shipped import shipped
from layout_core.units import mm
from tests.make import GLOW

SHIPPED = shipped("resources", "placements.toml").read_text(encoding="utf-8")

TRADE = {
    "full front": ((6, 9, 11, 11.25), (11.25, 14), "collar", 2.25),
    "left chest": ((2.5, 3, 3.75, 4), (4.5, 4.5), "shoulder seam", 8),
    "sleeve": ((None, 2.5, 3, 3.5), (4, 4), "sleeve hem", 1),
    "long sleeve": ((None, 2, 2.75, 3), (3.5, 14), "cuff", 2),
    "full back": ((6, 9, 11, 11.25), (11.25, 15), "back collar", 4),
    "upper back": ((None, 8, 10.5, 11.25), (11.25, 5), "back collar", 3),
    "nape": ((None, 2, 2.5, 3), (3.5, 3), "back collar", 1),
    "hoodie front": ((None, 8.5, 10.5, 11), (11, 9), "collar", 2.25),
    "trouser leg": ((None, 2.5, 3, 3.5), (4, 14), "pocket", 3),
    "tote": ((8, 8, 8, 8), (10, 10), "hem", 4),
}
"""Inches. Common practice, no source."""


def named(key: str) -> Placement:
    return placement_named(key, load_placements())


def test_the_shipped_placements_are_the_trade_values() -> None:
    placements = load_placements()
    assert [placement.key for placement in placements] == list(TRADE)
    for placement in placements:
        widths, most, measured_from, drop = TRADE[placement.key]
        expected = {size: mm(w) for size, w in zip(GARMENT_SIZES, widths, strict=True) if w is not None}
        assert dict(placement.widths_mm) == pytest.approx(expected)
        assert (placement.most_width_mm, placement.most_height_mm) == pytest.approx(tuple(map(mm, most)))
        assert (placement.measured_from, placement.drop_mm) == (measured_from, pytest.approx(mm(drop)))
        assert placement.laid.endswith(".")


def test_only_the_left_chest_lies_off_the_middle() -> None:
    assert {p.key: p.across_mm for p in load_placements() if p.across_mm} == {
        "left chest": pytest.approx(mm(4))
    }


def test_every_block_says_where_its_values_come_from() -> None:
    blocks = re.split(r"^\[", SHIPPED, flags=re.MULTILINE)[1:]
    assert len(blocks) == len(TRADE)
    assert all("# common practice, no source" in block for block in blocks)


def test_every_preset_fits_its_own_box() -> None:
    for placement in load_placements():
        assert all(width <= placement.most_width_mm for _, width in placement.widths_mm)


def test_a_full_front_of_the_largest_size_fits_the_sheet_exactly() -> None:
    """The printable width is 11.25 in and the margin 0: common practice, no source."""
    width_mm = preset_width_mm(named("full front"), "plus", 1.0)
    assert width_mm == 285.75 == 11.25 * 25.4
    assert width_mm <= GLOW.sheet_width_mm - 2 * GLOW.margin_mm


def test_tall_art_is_fitted_to_the_height_of_the_box() -> None:
    assert preset_width_mm(named("full front"), "adult", 2.0) == pytest.approx(mm(7))
    assert preset_width_mm(named("full front"), "adult", 14 / 11) == pytest.approx(mm(11))


@given(
    st.sampled_from(sorted(TRADE)),
    st.sampled_from(GARMENT_SIZES),
    st.floats(0.01, 100),
)
def test_fitted_art_never_leaves_the_box(key: str, size: str, aspect: float) -> None:
    placement = named(key)
    if size not in placement.garment_sizes:
        with pytest.raises(LayoutError, match="is not made for"):
            preset_width_mm(placement, size, aspect)
        return
    width_mm = preset_width_mm(placement, size, aspect)
    assert 0 < width_mm <= placement.most_width_mm
    assert width_mm * aspect <= placement.most_height_mm * (1 + 1e-12)
    assert width_mm <= dict(placement.widths_mm)[size]


def test_an_unknown_placement_lists_the_known_ones() -> None:
    with pytest.raises(LayoutError, match="there is no placement “hat”; the placements are full front, left"):
        named("hat")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('garment = "tote"', 'garment = "hat"', "garment is “hat”; it must be one of tee"),
        ('widths = "8 in"', "widths = 8", "widths must be one length"),
        ('widths = "8 in"', 'widths = { giant = "8 in" }', "widths must be one length"),
        ('widths = "8 in"', 'widths = "0 in"', "widths must be more than 0"),
        ('["10 in", "10 in"]', '["10 in"]', "at_most must be two lengths"),
        ('["10 in", "10 in"]', '["10 in", 10]', "at_most is 10, not a length"),
        ('measured_from = "hem"', 'measured = "hem"', "measured is not known here"),
    ],
)
def test_a_mistake_names_file_and_line(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert SHIPPED.count(old) == 1
    path = tmp_path / "placements.toml"
    path.write_text(SHIPPED.replace(old, new), encoding="utf-8")
    line = next(n for n, text in enumerate(SHIPPED.splitlines(), 1) if old in text)
    with pytest.raises(TableError, match=rf"^placements\.toml, line {line}: {words}"):
        load_placements(path)
