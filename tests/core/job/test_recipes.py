"""Press recipes: the shipped table, other names of a fabric, both degrees, and mistakes that name their line.

The values of the shipped table are common practice, no source; other fabrics than cotton from memory.
"""

from pathlib import Path

import pytest

from layout_core.errors import TableError
from layout_core.job.recipes import celsius, fahrenheit, load_recipes, recipe_for
from layout_core.shipped import shipped

ONE = """
["felt"]
presses = true
heat_f = [330, 340]
seconds = 10
pressure = [6, 8]
pre_press_s = [3, 5]
peel = "warm"
peel_after_s = 5
remark = "x"
caution = ""
words = ["wool felt"]
"""


def table(folder: Path, text: str) -> Path:
    path = folder / "press_recipes.toml"
    path.write_text(text, "utf-8")
    return path


def test_cotton_is_pressed_as_the_trade_does() -> None:
    # common practice, no source
    recipe = recipe_for("cotton", load_recipes())
    assert recipe is not None
    setting = recipe.setting
    assert setting is not None
    assert (setting.heat_f, setting.seconds, setting.pressure) == ((340, 340), 10, (6, 8))
    assert (setting.pre_press_s, setting.peel, setting.peel_after_s) == ((3, 5), "warm", 5)
    assert round(setting.heat_c[0]) == 171


def test_fabrics_that_melt_or_shed_are_never_pressed() -> None:
    refused = {recipe.fabric for recipe in load_recipes() if recipe.setting is None}
    assert refused == {"acrylic", "nylon", "waterproofed"}


def test_fahrenheit_and_celsius_follow_the_definition() -> None:
    # fixed by definition: 32 F = 0 C, 212 F = 100 C, -40 F = -40 C (NIST SP 811, appendix B.8)
    assert [celsius(value) for value in (32, 212, -40)] == pytest.approx([0, 100, -40])
    assert fahrenheit(celsius(340)) == pytest.approx(340)


def test_a_fabric_is_found_by_its_other_names_whatever_the_capitals() -> None:
    recipes = load_recipes()
    found = recipe_for("  WAXED   Cotton ", recipes)
    assert found is not None
    assert found.fabric == "waterproofed"
    assert recipe_for("chain mail", recipes) is None


def test_no_name_stands_for_two_fabrics() -> None:
    names = [name.casefold() for recipe in load_recipes() for name in (recipe.fabric, *recipe.words)]
    assert len(names) == len(set(names))


def test_every_figure_of_the_shipped_table_is_said_to_be_without_a_source() -> None:
    text = shipped("resources", "press_recipes.toml").read_text("utf-8")
    assert "common practice, no source" in text
    assert "from memory" in text


@pytest.mark.parametrize(
    ("old", "new", "line", "what"),
    [
        ("heat_f = [330, 340]", "heat_f = [340, 330]", 4, "lesser number first"),
        ("heat_f = [330, 340]", "heat_f = [330, 900]", 4, "from 100 to 500"),
        ("heat_f = [330, 340]", 'heat_f = ["hot", 340]', 4, "two numbers"),
        ("pressure = [6, 8]", "pressure = 7", 6, "two numbers"),
        ("seconds = 10", "seconds = 0", 5, "from 1 to 120"),
        ('peel = "warm"', 'peel = "tepid"', 8, "hot, warm, cold"),
        ("presses = true", 'presses = "yes"', 3, "true or false"),
        ('words = ["wool felt"]', "words = [7]", 12, "list of texts"),
        ('caution = ""', "caution = 7", 11, "must be a text"),
        ("seconds = 10", "secnds = 10", 5, "not known"),
    ],
)
def test_mistake_names_the_file_and_the_line(
    tmp_path: Path, old: str, new: str, line: int, what: str
) -> None:
    assert load_recipes(table(tmp_path, ONE))[0].words == ("wool felt",)
    with pytest.raises(TableError, match=f"press_recipes.toml, line {line}: .*{what}"):
        load_recipes(table(tmp_path, ONE.replace(old, new)))
