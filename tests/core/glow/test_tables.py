"""The shop's tables of inks and venues, promises in words, and the swatch card that calibrates an ink."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.art.stock import stock_artwork, stock_shape
from layout_core.art.swatch_card import SIZES_MM, swatch_items
from layout_core.errors import GlowError, LayoutError, TableError
from layout_core.glow.calibration import Sighting, calibrated
from layout_core.glow.inks import BASIS_WORDS, ink_named, keep_ink, load_inks, preferred_ink
from layout_core.glow.promise_text import parse_promise, promise_words
from layout_core.glow.scene import require_lamp, scene_of, usual_lighting
from layout_core.glow.venue import load_venues, venue_named
from layout_core.glow.visibility import detected_m, resolved_m, sight
from layout_core.glow.words import DECORATION_ONLY, assumed_words
from layout_core.job.edits import add_swatch_card, new_job
from layout_core.job.lighting import Charge, Promise
from tests.core.glow.scenes import PARTY, ink, scene
from tests.make import GLOW

GOOD = 'luminance_10min = 30\nfilm_um = 50\nunder_reflectance = 0.04\nbasis = "assumed"\n'


def table(folder: Path, text: str, name: str = "inks.toml") -> Path:
    path = folder / name
    path.write_text(text, "utf-8")
    return path


# --- venues and inks -----------------------------------------------------------------------------------


def test_the_shipped_venues_go_from_blackout_to_a_lit_room() -> None:
    venues = load_venues()
    assert venues[0].name == "dim hall"
    assert venue_named("Dim-Hall", venues).background_cd_m2 == 0.1
    assert sorted(v.background_cd_m2 for v in venues) == [1e-5, 1e-4, 3e-3, 0.03, 0.1, 0.3]
    with pytest.raises(GlowError, match="no venue “mars”; the venues are dim hall, blacked-out room"):
        venue_named("mars", venues)


def test_the_shipped_inks_say_what_they_are_worth() -> None:
    inks = load_inks()
    assert preferred_ink(inks).name == "thin screen print"
    assert [one.basis for one in inks] == ["assumed", "assumed", "readings", "readings"]
    assert ink_named("class B film", inks).l10_mcd_m2 == pytest.approx(50.0, rel=0.02)
    assert set(BASIS_WORDS) == {"assumed", "readings", "swatch"}
    with pytest.raises(GlowError, match="no ink “x”; the inks are"):
        ink_named("x", inks)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (
            '["a"]\n' + GOOD.replace("30", "0"),
            2,
            "luminance_10min does not hold: a: the luminance after 10 min is 0",
        ),
        ('["a"]\n' + GOOD.replace("30", "-3"), 2, "must be from 0.01"),
        ('["a"]\n' + GOOD.replace("0.04", "1.4"), 4, "under_reflectance does not hold"),
        ('["a"]\n' + GOOD.replace("50", "0"), 3, "film_um does not hold"),
        ('["a"]\n' + GOOD + "exponent = 9\n", 6, "exponent does not hold"),
        ('["a"]\n' + GOOD + "tau_min = -1\n", 6, "tau_min does not hold"),
        ('["a"]\n' + GOOD + "glimmer = 3\n", 6, "glimmer is not known here"),
        ('["a"]\n' + GOOD.replace("assumed", "guessed"), 5, "basis is “guessed”"),
        (
            '["a"]\n' + GOOD.replace("luminance_10min = 30", "readings = [[10, 7], [60, 50]]"),
            2,
            "rises from 7",
        ),
        ('["a"]\n' + GOOD.replace("luminance_10min = 30", "readings = [[10, 7]]"), 2, "has 1 reading"),
        ('["a"]\n' + GOOD.replace("luminance_10min = 30", "readings = [[10, true]]"), 2, "must be pairs"),
        ('["a"]\n' + GOOD.replace("luminance_10min = 30", "readings = [[1, 1e7]]"), 2, "must be pairs"),
        ('["a"]\n' + GOOD.replace("luminance_10min = 30", "readings = 7"), 2, "must be pairs"),
        ('["a"]\n' + GOOD + "readings = [[10, 7], [60, 1]]\n", None, "either luminance_10min or readings"),
    ],
)
def test_a_mistake_in_an_ink_names_line_value_and_reason(
    tmp_path: Path, text: str, line: int | None, words: str
) -> None:
    with pytest.raises(TableError) as caught:
        load_inks(table(tmp_path, text))
    said = str(caught.value)
    assert words in said
    assert said.startswith("inks.toml")
    if line is not None:
        assert f"line {line}:" in said


@pytest.mark.parametrize("value", ["0", "-1", "nan", '"dark"', "1e9"])
def test_a_venue_without_sound_light_is_refused(tmp_path: Path, value: str) -> None:
    with pytest.raises(TableError, match=r"venues.toml, line 2: background_cd_m2"):
        load_venues(table(tmp_path, f'["hole"]\nbackground_cd_m2 = {value}\n', "venues.toml"))


def test_a_kept_ink_is_read_again_and_replaces_the_one_of_its_name() -> None:
    own = replace(ink(12.0), name="Ours", basis="swatch")
    keep_ink(own)
    assert ink_named("ours", load_inks()).l10_mcd_m2 == pytest.approx(12.0)
    keep_ink(replace(own, l10_mcd_m2=17.0))
    inks = load_inks()
    assert [one.name for one in inks].count("Ours") == 1
    assert preferred_ink(inks).l10_mcd_m2 == pytest.approx(17.0)
    assert ink_named("thin screen print", inks).l10_mcd_m2 == 30.0


def test_an_ink_that_cannot_be_leaves_the_table_as_it_was() -> None:
    path = keep_ink(replace(ink(12.0), name="Ours"))
    before = path.read_bytes()
    with pytest.raises(LayoutError, match="luminance after 10 min is 0"):
        keep_ink(replace(ink(0.0), name="Ours"))
    assert path.read_bytes() == before


def test_the_shops_own_swatch_beats_the_model_and_the_words_say_so() -> None:
    assert "not measured" in assumed_words(usual_lighting(), "black")
    keep_ink(replace(ink(12.0), name="Ours", basis="swatch"))
    lighting = usual_lighting()
    assert lighting.ink.name == "Ours"
    assert "Ours (the shop's own swatch) at 12 mcd/m²" in assumed_words(lighting, "black")


def test_the_assumptions_name_ink_charge_venue_cloth_and_eyes() -> None:
    words = assumed_words(replace(usual_lighting(), has_underbase=True, at_a_glance=True), "navy")
    for part in ("thin screen print", "5 min by 1,000 lx of daylight lamp", "dim hall (0.1 cd/m²)",
                 "navy with a white underbase", "seen without being looked for"):  # fmt: skip
        assert part in words
    assert DECORATION_ONLY == "Decoration only, never safety marking."


def test_an_unknown_lamp_is_refused_with_the_lamps_there_are() -> None:
    with pytest.raises(GlowError, match="no lamp “torch”; the lamps are daylight lamp, open sky"):
        require_lamp(Charge("torch", 100.0, 5.0))
    with pytest.raises(GlowError, match="no lamp"):
        scene_of(replace(usual_lighting(), charge=Charge("torch", 100.0, 5.0)), "black")


# --- promises in words ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "promise", "venue"),
    [
        ("2m 20min dim-hall", Promise(2.0, 20.0), "dim hall"),
        ("reads at 2 m after 20 min in a dim hall", Promise(2.0, 20.0), "dim hall"),
        ("Seen as a shape from 20 ft after 1 h in the full moon", Promise(6.096, 60.0, "shape"), "full moon"),
        ("20min, 2,5 metres", Promise(2.5, 20.0), "dim hall"),
        ("blacked-out room 150cm 90 minutes", Promise(1.5, 90.0), "blacked-out room"),
        ("3m 0min", Promise(3.0, 0.0), "dim hall"),
    ],
)
def test_a_promise_is_read_as_people_say_it(text: str, promise: Promise, venue: str) -> None:
    read, where = parse_promise(text, load_venues())
    assert (read.distance_m, read.minutes, read.level) == pytest.approx(
        (promise.distance_m, promise.minutes, promise.level)
    )
    assert where.name == venue


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "names no distance"), ("20min", "names no distance"), ("2m", "names no time"),
        ("2m 3m 20min", "names more than one distance"), ("2m 1min 2min", "names more than one time"),
        ("2m 20min mars", "there is no venue “mars”"), ("0m 20min", "is 0 m; it must be from 0.1 to 100 m"),
        ("1km 20min", "is 1000 m"), ("-2m 20min", "is -2 m"), ("2m -20min", "is -20 min"),
        ("2m 99999min", "to 2,100 min"), ("2m " * 100, "too long"),
    ],
)  # fmt: skip
def test_what_is_no_promise_is_refused_with_its_value(text: str, words: str) -> None:
    with pytest.raises(GlowError) as caught:
        parse_promise(text, load_venues())
    assert words in str(caught.value)


@given(
    st.floats(0.1, 99.0).map(lambda d: float(f"{d:.3g}")),
    st.integers(0, 2000),
    st.sampled_from(["reads", "shape"]),
)
def test_a_promise_in_words_is_the_same_promise(distance: float, minutes: int, level: str) -> None:
    venues = load_venues()
    promise = Promise(distance, float(minutes), level)  # type: ignore[arg-type]
    assert parse_promise(promise_words(promise, venues[3]), venues) == (promise, venues[3])


# --- swatch card ---------------------------------------------------------------------------------------


def test_the_card_holds_strokes_gaps_dots_and_letters_and_prints_at_true_size() -> None:
    assert SIZES_MM[0] == 0.5
    assert SIZES_MM[-1] == 10.0
    assert {item.kind for item in swatch_items()} == {"stroke", "gap", "dot", "letter"}
    art = stock_artwork(stock_shape("swatch"))
    job = add_swatch_card(new_job("Swatch", GLOW))
    assert job.pieces[0].width_mm == job.arts[0].artwork.width_mm == art.width_mm
    assert art.width_mm < GLOW.sheet_width_mm


def test_the_items_on_the_card_have_their_sizes() -> None:
    """Each stroke is five times as long as wide, so its area is 5 w²; a dot has pi/4 d², an E 17 squares."""
    areas = sorted(part.area for part in stock_artwork(stock_shape("swatch")).outline.geoms)
    for item in swatch_items():
        share = {"stroke": 5.0, "dot": math.pi / 4.0, "letter": 17.0}.get(item.kind)
        if share is not None:
            wanted = share * item.size_mm**2
            assert min(abs(area - wanted) for area in areas) <= 0.01 * wanted, item


@given(st.floats(2.0, 300.0), st.sampled_from([2.0, 4.0, 8.0]), st.floats(10.0, 40.0), st.booleans())
def test_the_ink_of_a_sighting_is_seen_from_where_it_was_seen(
    l10: float, size: float, t: float, is_dot: bool
) -> None:
    def farthest(brightness: float) -> float:
        eyes = sight(scene(PARTY, brightness, is_adapted=False), t)
        if is_dot:
            return float(detected_m(math.pi / 4 * size**2, math.pi / 4 * size, eyes)[0])
        return float(resolved_m(size, eyes)[0])

    distance = farthest(l10)
    if distance < 0.06:
        return
    seen = Sighting("dot" if is_dot else "letter", size, distance * (1.0 - 1e-6), t)
    found = calibrated("ours", scene(PARTY, is_adapted=False), [seen])
    assert farthest(found.ink.l10_mcd_m2) == pytest.approx(distance, rel=1e-4)
    assert found.ink.l10_mcd_m2 <= l10 * 1.0001
    assert (found.ink.basis, found.ink.name, found.spread) == ("swatch", "ours", pytest.approx(1.0))


def test_sightings_of_one_print_give_that_print() -> None:
    eyes = sight(scene(1e-4, 12.0), 20.0)
    dots = [
        Sighting("dot", d, float(detected_m(math.pi / 4 * d**2, math.pi / 4 * d, eyes)[0]), 20.0)
        for d in (2.0, 8.0)
    ]
    letter = Sighting("letter", 4.0, float(resolved_m(4.0, eyes)[0]), 20.0)
    found = calibrated("ours", scene(1e-4), [*dots, letter])
    assert found.ink.l10_mcd_m2 == pytest.approx(12.0, rel=1e-3)
    assert found.spread == pytest.approx(1.0, abs=1e-3)


def test_sightings_that_differ_are_weighed_and_their_spread_is_told() -> None:
    one, other = Sighting("dot", 5.0, 2.0, 20.0), Sighting("dot", 5.0, 3.0, 20.0)
    found = calibrated("ours", scene(PARTY), [one, other])
    low, high = found.each_mcd_m2
    assert low < found.ink.l10_mcd_m2 < high
    assert 1.0 < found.spread <= high / low


@pytest.mark.parametrize(
    ("sightings", "words"),
    [
        ((), "nothing was entered"),
        ((Sighting("dot", 1.0, 150.0, 20.0),), "not even a print of 5,000 mcd/m²"),
        ((Sighting("stroke", 10.0, 0.06, 20.0),), "even a print of 0.02 mcd/m²"),
        ((Sighting("dot", 5.0, 0.0, 20.0),), "0 m is no distance to look from"),
        ((Sighting("dot", 5.0, 1_000.0, 20.0),), "1000 m is no distance"),
        ((Sighting("dot", 5.0, math.nan, 20.0),), "nan m is no distance"),
        ((Sighting("dot", 0.0, 2.0, 20.0),), "0 mm is no size"),
        ((Sighting("dot", 5.0, 2.0, -1.0),), "-1 min is no time"),
        ((Sighting("dot", 10.0, 0.9, 20.0), Sighting("dot", 2.0, 20.0, 20.0)), "they are not of one print"),
    ],
)
def test_sightings_that_cannot_be_are_refused(sightings: tuple[Sighting, ...], words: str) -> None:
    with pytest.raises(GlowError) as caught:
        calibrated("ours", scene(1e-5), sightings)
    assert words in str(caught.value)
