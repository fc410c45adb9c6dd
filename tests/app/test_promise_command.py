"""`check --promise`: what it prints, and one line for every promise that is none."""

import json

import pytest

from layout_core.user_folders import config_folder
from tests.app.command_folder import Run, one_line_error


def test_a_kept_promise_is_told_with_distances_assumptions_and_the_caution(run: Run) -> None:
    result = run("check", "block.svg", "--width", "4in", "--promise", "2m 20min dim-hall")
    assert result.exit_code == 0
    assert "  promise  kept: reads at 2 m after 20 min, dim hall" in result.stdout
    assert "Decoration only, never safety marking." in result.stdout
    assert "Assumes thin screen print (an assumed ink, not measured) at 30 mcd/m²" in result.stdout


def test_a_missed_promise_lists_the_elements_and_their_fixes(run: Run) -> None:
    result = run("check", "thin.svg", "--width", "120mm", "--promise", "2m 20min dim-hall", "--json")
    assert result.exit_code == 0
    promise = json.loads(result.stdout)["promise"]
    assert list(promise) == [
        "distance_m", "minutes", "level", "venue", "background_cd_m2", "ink", "ink_basis", "luminance_mcd_m2",
        "reads_m", "shape_m", "is_kept", "findings", "assumes", "caution",
    ]  # fmt: skip
    assert (promise["distance_m"], promise["minutes"], promise["venue"]) == (2.0, 20.0, "dim hall")
    assert promise["is_kept"] is False
    assert promise["luminance_mcd_m2"] == pytest.approx(14.18, abs=0.01)
    bar = promise["findings"][0]
    assert (bar["rule"], bar["severity"]) == ("promise", "caution")
    assert bar["measured"] == pytest.approx(0.9, abs=0.02)
    assert "thicken to 0.114 in" in bar["message"]
    assert promise["caution"].startswith("Decoration only, never safety marking.")


def test_without_the_option_the_document_is_as_it_was(run: Run) -> None:
    document = json.loads(run("check", "block.svg", "--width", "4in", "--json").stdout)
    assert "promise" not in document


@pytest.mark.parametrize(
    ("promise", "words"),
    [
        ("", "names no distance"), ("2m", "names no time"), ("0m 20min dim-hall", "from 0.1 to 100 m"),
        ("1km 20min dim-hall", "from 0.1 to 100 m"), ("2m 20min mars", "the venues are dim hall"),
    ],
)  # fmt: skip
def test_what_is_no_promise_is_one_line(run: Run, promise: str, words: str) -> None:
    one_line_error(run("check", "block.svg", "--width", "4in", "--promise", promise), words)


def test_a_table_with_a_mistake_is_one_line_that_names_it(run: Run) -> None:
    config = config_folder()
    config.mkdir(parents=True)
    (config / "venues.toml").write_text('["cave"]\nbackground_cd_m2 = 0\n', "utf-8")
    result = run("check", "block.svg", "--width", "4in", "--promise", "2m 20min cave")
    one_line_error(result, "venues.toml, line 2: background_cd_m2 does not hold")
